package benchlog

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/repeat"
)

// TestByteEdits changes one byte of a valid log at a time: replaces it, puts
// one in, or takes it out. The answer must be a list of faults, the same log,
// or a log in which each number is what its cell now says, by a grammar that
// has nothing in common with the reader's. What changes in words must show: as
// another name, another note, or a notice.
func TestByteEdits(t *testing.T) {
	t.Run("comma", func(t *testing.T) { testEdits(t, "plain", ',', 10000) })
	t.Run("semicolon", func(t *testing.T) { testEdits(t, "semicolon-comma", ';', 1500) })
	t.Run("tab", func(t *testing.T) { testEdits(t, "tab-point", '\t', 1500) })
}

func testEdits(t *testing.T, log string, delimiter rune, edits int) {
	edits = repeat.Times(edits)
	content := must.Get(os.ReadFile("../../testdata/formats/log/" + log + ".csv")).In(t)
	original := mustRead(t, content, Options{})
	random := rand.New(rand.NewPCG(1, 2))
	var refused, same, changed int
	for range edits {
		edited, what := edit(content, random)
		l, err := Read(strings.NewReader(edited), "log.csv", Options{})
		switch {
		case err != nil:
			refused++
			continue
		case reflect.DeepEqual(bare(l.Log), bare(original.Log)):
			same++
		default:
			changed++
		}
		if err := saysItsCells(l, edited, delimiter); err != nil {
			t.Errorf("%s: %v\n%s", what, err, edited)
		}
	}
	t.Logf("of %d edits %d were refused, %d changed nothing, %d gave another log", edits, refused, same, changed)
	if refused < edits/10 || same < edits/100 || changed < edits/10 {
		t.Errorf("the edits try one thing only: %d, %d, %d", refused, same, changed)
	}
}

// edit changes one byte, half of the time into one that means something.
func edit(content []byte, random *rand.Rand) (edited, what string) {
	const telling = "0123456789.,;+-eE \t\"\n\r#%xpnµ\x00\x1a\xa0_:/[]()±"
	b := byte(random.IntN(256))
	if random.IntN(2) == 0 {
		b = telling[random.IntN(len(telling))]
	}
	at := random.IntN(len(content))
	s := string(content)
	switch random.IntN(3) {
	case 0:
		return s[:at] + string([]byte{b}) + s[at+1:], fmt.Sprintf("byte %d, %q, becomes %q", at, s[at], b)
	case 1:
		return s[:at] + string([]byte{b}) + s[at:], fmt.Sprintf("%q comes in front of byte %d", b, at)
	}
	return s[:at] + s[at+1:], fmt.Sprintf("byte %d, %q, goes", at, s[at])
}

// saysItsCells checks every number of l against the cells of the edited text.
func saysItsCells(l *Log, edited string, delimiter rune) error {
	rows, err := splitRows(edited, delimiter)
	if err != nil {
		return fmt.Errorf("a log that is no CSV was read: %w", err)
	}
	header, rows := rows[0], rows[1:]
	if len(rows) != len(l.Readings) {
		return fmt.Errorf("%d rows gave %d readings", len(rows), len(l.Readings))
	}
	read := 0
	for i, h := range header {
		for j, row := range rows {
			if len(row) > len(header) || len(row) < len(header) && strings.Join(header[len(row):], "") != "" {
				return fmt.Errorf("row %q under %q was read", row, header)
			}
			if i >= len(row) {
				continue // under a header without a name
			}
			cell := strings.Trim(row[i], " \t\u00a0")
			if delimiter != ',' && !strings.Contains(cell, ".") && !strings.HasPrefix(strings.ToLower(h), "note") {
				cell = strings.ReplaceAll(cell, ",", ".")
			}
			known, err := saysItsCell(l, j, h, cell)
			if err != nil {
				return fmt.Errorf("reading %d, column %q: %w", j+1, h, err)
			}
			if known {
				read++
			}
		}
		if read == 0 && !strings.Contains(strings.Join(l.Notices, "\n"), strings.TrimSpace(h)) && strings.TrimSpace(h) != "" && i > 0 {
			return fmt.Errorf("column %q is ignored without a word", h)
		}
		read = 0
	}
	return nil
}

// splitRows splits text as RFC 4180 says, without comments and empty rows.
func splitRows(text string, delimiter rune) ([][]string, error) {
	text = strings.TrimRight(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text), "\x1a")
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord = -1
	r.Comma = delimiter
	r.TrimLeadingSpace = delimiter != '\t'
	r.Comment = '#'
	all, err := r.ReadAll()
	var rows [][]string
	for _, row := range all {
		if s := strings.Join(row, ""); strings.TrimSpace(s) != "" && !strings.HasPrefix(strings.TrimSpace(row[0]), "#") {
			rows = append(rows, row)
		}
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("no rows (%v)", err)
	}
	return rows, err
}

// number is a number as this test understands it, with whatever unit.
var number = regexp.MustCompile(`^([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?) ?([a-zA-Zµ%]*)$`)

// inHeader finds the unit in a header.
var inHeader = regexp.MustCompile(`[\[(/_ ]([GMk]?[Hh][Zz]|[fpnµu]?[Ff]|[fpnµu]|[µu]?m?[mM]|[cC][mM]|in|%|ppm)[\])]?`)

func parse(cell string) (x float64, ok bool) {
	m := number.FindStringSubmatch(cell)
	if m == nil {
		return math.NaN(), false
	}
	x, err := strconv.ParseFloat(m[1], 64)
	return x, err == nil
}

// saysItsCell checks what reading i has from one cell under a header. known is
// false when the column says nothing of this kind.
func saysItsCell(l *Log, i int, header, cell string) (known bool, err error) {
	r := l.Readings[i]
	unit := 1.0
	if m := inHeader.FindStringSubmatch(header); m != nil {
		unit = map[string]float64{"hz": 1, "khz": 1e3, "mhz": 1e6, "ghz": 1e9, "ff": 1e-15, "pf": 1e-12, "nf": 1e-9, "f": 1, "p": 1e-12, "n": 1e-9,
			"mm": 1e-3, "cm": 1e-2, "m": 1, "in": 0.0254, "%": 0.01, "ppm": 1e-6}[strings.ToLower(m[1])]
	}
	check := func(got float64) error {
		x, ok := parse(cell)
		if !ok {
			return fmt.Errorf("%v was read from %q", got, cell)
		}
		if want := x * unit; math.Abs(got-want) > 1e-12*math.Abs(want) {
			return fmt.Errorf("%v was read from %q, which says %v", got, cell, want)
		}
		return nil
	}
	empty := cell == "" || cell == "-"
	lower := strings.ToLower(header)
	name := func(names ...string) bool {
		return slices.ContainsFunc(names, func(n string) bool { return strings.HasPrefix(strings.Join(strings.Fields(lower), ""), n) })
	}
	switch {
	case name("frequency±", "f±"):
		if r.FromDigits != empty {
			return true, fmt.Errorf("%q gives u = %v, from digits: %v", cell, r.Uncertainty, r.FromDigits)
		}
		if !empty {
			return true, check(r.Uncertainty)
		}
		return true, nil
	case name("frequency", "f["):
		return true, check(r.Frequency)
	case name("added±"):
		return true, nil // its effect is shared by rows; see TestTolerances
	case name("added"):
		return true, checkSum(l, i, cell, unit)
	case name("hand"):
		if math.IsInf(r.Hand, 1) {
			if !empty && !nothing(cell) {
				return true, fmt.Errorf("%q was read as nobody", cell)
			}
			return true, nil
		}
		return true, check(r.Hand)
	case name("amplitude"):
		return true, ifRecorded(r.Amplitude, empty, check)
	case name("quality"):
		return true, ifRecorded(r.Quality, empty, check)
	case name("covered"):
		if r.Core == "" || empty {
			return true, nil
		}
		end := cell
		if begin, rest, ok := strings.Cut(cell, ".."); ok {
			end = rest
			if x, ok := parse(strings.TrimSpace(begin)); !ok || math.Abs(x*unit-r.From) > 1e-12 {
				return true, fmt.Errorf("from %v was read from %q", r.From, cell)
			}
		}
		if x, ok := parse(strings.TrimSpace(end)); !ok || math.Abs(x*unit-r.To) > 1e-12 {
			return true, fmt.Errorf("to %v was read from %q", r.To, cell)
		}
		return true, nil
	case name("core"):
		if r.Core == "" && !empty && l.Readings[i].To == 0 {
			if !nothing(cell) && !strings.EqualFold(cell, "air") && !strings.Contains(strings.Join(l.Notices, ""), "read as no core") {
				return true, fmt.Errorf("the core %q got lost", cell)
			}
		}
		return true, nil
	case name("note"):
		if strings.TrimSpace(r.Note) != strings.TrimSpace(cell) && !strings.ContainsAny(cell, "\u200b\ufeff\u00ad") {
			return true, fmt.Errorf("note %q was read from %q", r.Note, cell)
		}
		return true, nil
	case name("use"):
		return true, nil
	}
	return false, nil
}

func ifRecorded(got float64, empty bool, check func(float64) error) error {
	if math.IsNaN(got) {
		if !empty {
			return fmt.Errorf("a cell got lost")
		}
		return nil
	}
	return check(got)
}

// checkSum checks the parts of reading i against the terms of its cell.
func checkSum(l *Log, i int, cell string, unit float64) error {
	var values []float64
	names := 0
	for _, term := range strings.Split(cell, "+") {
		term = strings.TrimSpace(term)
		if nothing(term) {
			continue
		}
		value, _, _ := strings.Cut(term, "±")
		if x, ok := parse(strings.TrimSpace(value)); ok {
			if x != 0 {
				values = append(values, x*unit)
			}
			continue
		}
		names++
	}
	for _, p := range l.Readings[i].Parts {
		part := l.Parts[p]
		if !part.Known {
			names--
			continue
		}
		found := false
		for k, v := range values {
			if math.Abs(v-part.Capacitance) < 1e-12*v {
				values = append(values[:k], values[k+1:]...)
				found = true
				break
			}
		}
		if !found {
			return fmt.Errorf("%q gave a part of %v F", cell, part.Capacitance)
		}
	}
	if len(values) != 0 || names != 0 {
		return fmt.Errorf("%q gave parts %v", cell, l.Readings[i].Parts)
	}
	return nil
}
