package main

import (
	"fmt"
	"html"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/resonator"
)

// checkRows compares the tables of the text with JSON.
func checkRows(f *toldFit, rows []tableRow, fault func(string, ...any)) {
	for i, want := range []string{"bare frequency", "effective inductance", "effective capacitance"} {
		if rows[i].label != want {
			fault("the first rows are %+v", rows[:3])
			return
		}
	}
	at := map[[2]string]tableRow{}
	for _, r := range rows {
		at[[2]string{r.group, r.label}] = r
	}
	n := 0
	for _, list := range [][]told{f.Parameters, f.Derived} {
		for i := range list {
			e := &list[i]
			n++
			group, label := labelOf(e)
			r, ok := at[[2]string{group, label}]
			switch {
			case !ok:
				fault("text has no row %q under %q", label, group)
			case !e.Determined:
				if r.value != "not determined" || r.uncertainty != "" {
					fault("%s is undetermined in JSON, in text %+v", label, r)
				}
			case e.Bound != "":
				if r.value != "at its limit" {
					fault("%s is %s in JSON, in text %+v", label, e.Bound, r)
				}
			default:
				if v, u, ok := r.si(); !ok || !(math.Abs(v-*e.Value) <= 0.06**e.Uncertainty) || !(math.Abs(u / *e.Uncertainty - 1) <= 0.06) {
					fault("%s is %v ± %v in JSON, in text %+v", label, *e.Value, *e.Uncertainty, r)
				}
			}
		}
	}
	if n != len(rows) {
		fault("%d quantities in JSON, %d rows in text", n, len(rows))
	}
	l, _, lok := rows[1].si()
	c, _, cok := rows[2].si()
	hz, _, fok := rows[0].si()
	if lok && cok && fok { // as rounded: half a unit of the last digit of each, at most 5 % of ±
		off := math.Abs(2*math.Pi*math.Sqrt(l*c)*hz - 1)
		if most := rows[0].rounding() + (rows[1].rounding()+rows[2].rounding())/2; off > 1.01*most+most*most { // to second order
			fault("the first pair rings %v off the frequency beside it, rounding allows %v: %+v", off, most, rows[:3])
		}
	}
}

var (
	internalName = regexp.MustCompile(`[a-z]_[a-z]`)
	rawFloat     = regexp.MustCompile(`[0-9]\.[0-9]{9,}|[0-9]e[-+]?[0-9]+`)
)

// checkWords looks for names of the JSON output, unless a flag wants them, for numbers
// as no person writes them, and for femtofarads under picofarads.
func checkWords(text string, rows []tableRow, fault func(string, ...any)) {
	for _, line := range strings.Split(strings.ReplaceAll(text, "(f_air/f_core)²", ""), "\n") {
		if internalName.MatchString(line) && !strings.Contains(line, "--") || rawFloat.MatchString(line) && !strings.Contains(line, "χ²") {
			fault("in text: %s", line)
		}
	}
	largest := map[string]float64{}
	for _, r := range rows {
		if v, _, ok := r.si(); ok && strings.HasSuffix(r.unit, "F") {
			largest[r.group] = math.Max(largest[r.group], v)
		}
	}
	for _, r := range rows {
		if r.unit == "fF" && largest[r.group] >= 0.1e-12 {
			fault("fF beside picofarads: %+v", r)
		}
	}
}

var toldDrift = regexp.MustCompile(`the frequencies drifted by (\S+ ± \S+) ppm`)

// checkDrift compares a drift that is warned of with the table, and returns whether there is one.
func checkDrift(texts []string, rows []tableRow, fault func(string, ...any)) (told bool) {
	for _, text := range texts {
		m := toldDrift.FindStringSubmatch(strings.Join(strings.Fields(text), " "))
		for _, r := range rows {
			if want := strings.Replace(r.value, "-", "−", 1) + " ± " + r.uncertainty; m != nil && r.label == "drift" && m[1] != want {
				fault("a drift of %s is warned of, the table has %s", m[1], want)
			}
		}
		told = told || m != nil
	}
	return told
}

var briefRow = regexp.MustCompile(`^  (frequency|inductance|capacitance|impedance) +([0-9.]+) ± ([0-9.]+) (\S+)(?:  |$)`)

// checkBrief holds the answer in brief against JSON, and against the lines and columns
// that it may have.
func checkBrief(f *toldFit, text string, fault func(string, ...any)) {
	if tooLong := measure(text, 30, 80); tooLong != "" {
		fault("in brief, %s:\n%s", tooLong, text)
	}
	names := map[string]string{"frequency": quantities.BareFrequency, "inductance": quantities.EffectiveInductance, "capacitance": quantities.EffectiveCapacitance, "impedance": quantities.Impedance}
	_, coil, _ := strings.Cut(text, "Coil, bare, seen from the top")
	mark, coil, _ := strings.Cut(coil, "\n")
	if trusted := !strings.Contains(text, "no number below is to be trusted"); f.Contradicted == trusted || (mark == "") != trusted {
		fault("in brief %q, trusted: %v, in JSON contradicted: %v", mark, trusted, f.Contradicted)
	}
	for _, line := range strings.Split(coil, "\n") {
		m := briefRow.FindStringSubmatch(line)
		if m == nil {
			if !strings.HasPrefix(line, "  ") {
				break
			}
			continue
		}
		r := tableRow{label: m[1], value: m[2], uncertainty: m[3], unit: m[4]}
		e := f.find(names[m[1]])
		if v, u, ok := r.si(); !ok || !e.Determined || !(math.Abs(v-*e.Value) <= 0.06**e.Uncertainty) || !(math.Abs(u / *e.Uncertainty - 1) <= 0.06) {
			fault("in brief %+v, in JSON %+v", r, e)
		}
		delete(names, m[1])
	}
	for label, name := range names {
		if e := f.find(name); e.Determined && e.Bound == "" {
			fault("%s is %v, and not in brief:\n%s", label, *e.Value, text)
		}
	}
}

// measure says what of a text has more lines or columns than it may; "" for nothing.
func measure(text string, lines, columns int) string {
	if n := strings.Count(text, "\n"); n > lines {
		return fmt.Sprintf("%d lines", n)
	}
	for _, l := range strings.Split(text, "\n") {
		if n := utf8.RuneCountInString(l); n > columns {
			return fmt.Sprintf("%d columns: %s", n, l)
		}
	}
	return ""
}

// si returns value and uncertainty of a row in SI.
func (r tableRow) si() (value, uncertainty float64, ok bool) {
	value, err := strconv.ParseFloat(r.value, 64)
	uncertainty, err2 := strconv.ParseFloat(r.uncertainty, 64)
	if err != nil || err2 != nil {
		return 0, 0, false
	}
	scale := 1.0
	for prefix, power := range map[string]float64{"f": 1e-15, "p": 1e-12, "n": 1e-9, "µ": 1e-6, "m": 1e-3, "k": 1e3, "M": 1e6, "G": 1e9} {
		if rest, found := strings.CutPrefix(r.unit, prefix); found && rest != "" {
			scale = power
			if rest == "s²" {
				scale *= power
			}
		}
	}
	if strings.HasPrefix(r.unit, "ppm") {
		scale = 1e-6
	}
	return value * scale, uncertainty * scale, true
}

// rounding returns half a unit of the second digit of ±, relative to the value.
func (r tableRow) rounding() float64 {
	v, err := strconv.ParseFloat(r.value, 64)
	u, err2 := strconv.ParseFloat(r.uncertainty, 64)
	if err != nil || err2 != nil {
		return math.Inf(1)
	}
	return 0.5 * math.Pow(10, math.Floor(math.Log10(u))-1) / v
}

var pageRow = regexp.MustCompile(`<th role="rowheader" scope="row">([^<]*)</th><td role="cell" class="value[^"]*">([^<]*)</td><td role="cell" class="spread">([^<]*)</td>`)

// checkPage compares the page's tables with those of the text.
func checkPage(f *toldFit, rows []tableRow, content string, fault func(string, ...any)) {
	plain := func(s string) string { return strings.ReplaceAll(html.UnescapeString(s), "\u00a0", " ") }
	found := pageRow.FindAllStringSubmatch(content, -1)
	if len(found) != len(rows) {
		fault("%d rows on the page, %d in text", len(found), len(rows))
		return
	}
	for i, m := range found {
		r := rows[i]
		if plain(m[1]) != r.label || plain(m[2]) != r.value || r.value != "at its limit" && plain(m[3]) != r.uncertainty {
			fault("on the page %q, in text %+v", m[1:], r)
		}
	}
	for i := range f.Parameters {
		if e := &f.Parameters[i]; e.Name == quantities.CoreCapacitance && e.Determined && strings.Contains(content, "of whose variance") {
			fault("the page tells what core %s does by priors, though its capacitance is measured", e.Core)
		}
	}
	for _, a := range f.Assumed {
		if !strings.Contains(plain(content), a.What) {
			fault("the page doesn't tell that %s is assumed", a.What)
		}
	}
}

// drawnSheets are a winding alone, and one with its core: with the ladders they make.
func drawnSheets(t *testing.T) (out [2]estimation.Session) {
	t.Helper()
	const winding = "quantity,value,±,unit\nwinding diameter,28.3,0.1,mm\nwinding length,240,0.5,mm\n"
	for i, content := range []string{winding, winding + "turns,640,,\nwire diameter,0.32,0.01,mm\nball diameter,18,0.1,mm\nbead diameter,16,0.1,mm\n" +
		"bead length,10,0.1,mm\nbead spacing,4,0.3,mm\nbead count,17,,\nbead permeability,120,20 %,\nbead start,2,0.5,mm\ncore,rod,,\n"} {
		sheet := must.Get(coilsheet.Read(strings.NewReader(content), "sheet.csv")).In(t)
		must.Do(t, sheet.Tell(&out[i]))
		if (out[i].Ladder == nil) || (i == 1) != (out[i].Drawn != nil) {
			t.Fatalf("sheet %d makes %+v", i, out[i])
		}
	}
	return out
}

// randomSession invents a log and reads it.
func randomSession(t *testing.T, rng *rand.Rand, sheets [2]estimation.Session) (mode string, s estimation.Session) {
	t.Helper()
	mode = []string{"line", "line", "line", "line", "line", "lumped", "lumped", "robust", "ladder", "drawn"}[rng.IntN(10)]
	switch mode {
	case "ladder":
		s = sheets[0]
	case "drawn":
		s = sheets[1]
	case "lumped":
		s.Lumped = true
	case "robust":
		s.Robust = true
	}
	log := must.Get(benchlog.Read(strings.NewReader(randomLog(rng, s.Ladder != nil)), "log.csv", benchlog.Options{})).In(t)
	s.Log = log.Log
	if rng.IntN(6) == 0 {
		s.Known = []quantities.Known{{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.25e-3, Uncertainty: 0.02e-3}}
	}
	return mode, s
}

// randomLog invents readings of a coil that is a line; few where a fit takes long.
func randomLog(rng *rand.Rand, short bool) string {
	coil := resonator.Winding{Inductance: 1.25e-3 * math.Exp(0.02*rng.NormFloat64()), Capacitance: 6e-12 * math.Exp(0.2*rng.NormFloat64()), Top: 1e-12 * math.Exp(0.7*rng.NormFloat64())}
	gain, core, hand, roof := 1.3+rng.Float64(), coil.Capacitance*0.1*rng.NormFloat64(), 2.6e-15*math.Exp(0.5*rng.NormFloat64()), 2.8e-12
	noise := 1e-4 * math.Exp(1.2*rng.NormFloat64())
	scatter := []float64{1, 1, 1, 1, 4}[rng.IntN(5)]
	misread := rng.IntN(20) == 0 && !short
	stated := rng.IntN(2) == 0
	drift := []float64{0, 0, 0, 0, 0, 30 * noise}[rng.IntN(6)]
	errors := map[float64]float64{}
	var b strings.Builder
	b.WriteString("frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm]\n")
	rows := 1 + rng.IntN(6)
	switch {
	case rng.IntN(8) == 0 && !short:
		rows += 12
	case rng.IntN(2) == 0:
		rows += 4
	}
	line := resonator.Line{}
	for i := range rows {
		w, cells := coil, [4]string{}
		if rng.IntN(4) > 0 {
			pF := []float64{1, 2.2, 4.7, 10, 22, 47}[rng.IntN(6)]
			if _, ok := errors[pF]; !ok {
				errors[pF] = 0.0255 * rng.NormFloat64()
			}
			w.Top += pF * 1e-12 * (1 + errors[pF])
			cells[0] = fmt.Sprint(pF)
			if rng.IntN(8) == 0 {
				w.Top += roof
				cells[0] += "+roof"
			}
		}
		if rng.IntN(4) == 0 {
			to := []float64{1, 1, 0.5, 0.3}[rng.IntN(4)]
			w.Cores = []resonator.Stretch{{To: to, Gain: gain, Capacitance: core * to}}
			cells[1], cells[2] = "rod", fmt.Sprint(100*to)
		}
		if rng.IntN(5) == 0 {
			cm := []float64{5, 10, 20, 40}[rng.IntN(4)]
			w.Top += hand / math.Pow(cm/100+0.045, 2)
			cells[3] = fmt.Sprint(cm)
		}
		var r resonator.Resonance
		line.Resonate(w, &r)
		f := r.Omega / (2 * math.Pi) * (1 + scatter*noise*rng.NormFloat64())
		if misread && i == rows/2 {
			f *= 1.07
		}
		f *= 1 + drift*(float64(i)/float64(rows)-0.5)
		if stated {
			fmt.Fprintf(&b, "%.7f,%.4f,%s\n", f/1e6, f*noise/1e3, strings.Join(cells[:], ","))
		} else {
			fmt.Fprintf(&b, "%.*f,,%s\n", max(2, min(6, int(-math.Log10(noise*2)))), f/1e6, strings.Join(cells[:], ","))
		}
	}
	return b.String()
}
