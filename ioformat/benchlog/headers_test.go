package benchlog

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// bench0 is a session (invented) that people write under many headers: frequency,
// its uncertainty, capacitance added, core and distance of a hand.
var bench0 = []struct {
	f, u, c float64 // Hz, Hz, F
	core    string
	hand    float64 // m
}{
	{2.519e6, 800, 0, "", math.Inf(1)},
	{1.613e6, 800, 4.7e-12, "", math.Inf(1)},
	{1.230e6, 800, 10e-12, "", math.Inf(1)},
	{1.785e6, 800, 0, "rod", math.Inf(1)},
	{1.146e6, 800, 4.7e-12, "rod", math.Inf(1)},
	{2.485e6, 800, 0, "", 0.1},
}

// written writes the session under a header. fields say what its columns hold: f, u,
// c, k (core) or h with a unit, ! behind it where the unit stands in the cells, k?
// for a core that is ticked, others stand for themselves.
func written(header, delimiter string, fields ...string) []byte {
	var b strings.Builder
	b.WriteString(header + "\n")
	number := func(v float64, unit string, decimals int) string {
		unit, inCell := strings.CutSuffix(unit, "!")
		scale := map[string]float64{"MHz": 1e6, "kHz": 1e3, "Hz": 1, "pF": 1e-12, "nF": 1e-9, "cm": 1e-2, "mm": 1e-3, "m": 1}[unit]
		s := fmt.Sprintf("%.*f", decimals, v/scale)
		if delimiter != "," {
			s = strings.ReplaceAll(s, ".", ",")
		}
		if inCell {
			s += " " + unit
		}
		return s
	}
	for i, r := range bench0 {
		var row []string
		for _, field := range fields {
			kind, unit, _ := strings.Cut(field, ":")
			cell := strings.ReplaceAll(field, "#", fmt.Sprint(i+1))
			switch kind {
			case "f":
				cell = number(r.f, unit, map[byte]int{'M': 3, 'k': 0, 'H': 0}[unit[0]])
			case "u":
				cell = number(r.u, unit, 1)
			case "c":
				if cell = ""; r.c > 0 {
					cell = number(r.c, unit, map[byte]int{'p': 1, 'n': 4}[unit[0]])
				}
			case "k":
				cell = r.core
			case "k?":
				if cell = ""; r.core != "" {
					cell = unit
				}
			case "h":
				if cell = ""; !math.IsInf(r.hand, 1) {
					cell = number(r.hand, unit, 1)
				}
			}
			row = append(row, cell)
		}
		b.WriteString(strings.Join(row, delimiter) + "\n")
	}
	return []byte(b.String())
}

// lost lists what of the session, as written in fields, a log doesn't have.
func lost(l *Log, fields []string) (list []string) {
	has := func(kind string) bool {
		return slices.ContainsFunc(fields, func(f string) bool { return strings.HasPrefix(f, kind) })
	}
	for i, want := range bench0 {
		r := l.Readings[i]
		sum := 0.0
		for _, p := range r.Parts {
			sum += l.Parts[p].Capacitance
		}
		switch {
		case math.Abs(r.Frequency/want.f-1) > 1e-9:
			list = append(list, "frequency")
		case has("u:") && (r.FromDigits || math.Abs(r.Uncertainty/want.u-1) > 1e-9):
			list = append(list, "uncertainty")
		case has("c:") && math.Abs(sum-want.c) > 1e-16:
			list = append(list, "added")
		case has("k") && (r.Core != "") != (want.core != ""):
			list = append(list, "core")
		case has("h:") && r.Hand != want.hand:
			list = append(list, "hand")
		}
	}
	return list
}

type headerCase struct {
	header, delimiter string
	fields            []string
	reads             string // what is read as what, or ! and a word of the refusal
}

func headerCases() []headerCase {
	h := func(header, delimiter, reads string, fields ...string) headerCase {
		return headerCase{header, delimiter, fields, reads}
	}
	return []headerCase{
		// as the manual has them
		h("frequency [MHz],added [pF],core", ",", "", "f:MHz", "c:pF", "k"),
		h("Frequency (kHz);Added (pF);Core", ";", "", "f:kHz", "c:pF", "k"),
		h("core,hand_cm,added_pF,frequency_MHz", ",", "", "k", "h:cm", "c:pF", "f:MHz"),
		h("f/MHz,f ±/kHz,added/pF", ",", "", "f:MHz", "u:kHz", "c:pF"),
		// abbreviated
		h("f (MHz),C (pF),core", ",", `"C (pF)" read as added`, "f:MHz", "c:pF", "k"),
		h("f0/MHz,C/pF", ",", `"C/pF" read as added`, "f:MHz", "c:pF"),
		h("fres (kHz),Cext (pF)", ",", `"Cext (pF)" read as added`, "f:kHz", "c:pF"),
		h("MHz,pF,core", ",", `"MHz" read as frequency; "pF" read as added`, "f:MHz", "c:pF", "k"),
		h("core,pF,kHz", ",", `"pF" read as added; "kHz" read as frequency`, "k", "c:pF", "f:kHz"),
		h("pF\tMHz", "\t", `"pF" read as added; "MHz" read as frequency`, "c:pF", "f:MHz"),
		h("F_RES [KHZ],C_TOP [PF],FERRITE", ",", `"C_TOP [PF]" read as added; "F_RES [KHZ]" read as frequency; "FERRITE" read as core`, "f:kHz", "c:pF", "k"),
		h("f_0 [MHz],u(f) [kHz],C_add [pF]", ",", `"f_0 [MHz]" read as frequency; "u(f) [kHz]" read as frequency ±; "C_add [pF]" read as added`, "f:MHz", "u:kHz", "c:pF"),
		h("f,C on top,ferrite", ",", `"C on top" read as added; "ferrite" read as core`, "f:MHz!", "c:pF!", "k?:yes"),
		// in words
		h("measured freq [MHz],capacitance added [pF],core inserted", ",",
			`"capacitance added [pF]" read as added; "core inserted" read as core; "measured freq [MHz]" read as frequency`, "f:MHz", "c:pF", "k?:yes"),
		h("resonance [kHz],uncertainty [kHz],extra capacitance [pF],rod", ",",
			`"extra capacitance [pF]" read as added; "rod" read as core; "uncertainty [kHz]" read as frequency ±`, "f:kHz", "u:kHz", "c:pF", "k?:x"),
		h("frequency [MHz],C [pF],hand dist [cm],remarks", ",", `"C [pF]" read as added; "hand dist [cm]" read as hand`, "f:MHz", "c:pF", "h:cm", "ok"),
		h("ferrite rod,hand dist,C on top,f (MHz)", ",", `"C on top" read as added; "ferrite rod" read as core; "hand dist" read as hand`, "k?:in", "h:cm!", "c:pF!", "f:MHz"),
		h("Run,Date,Freq. (MHz),Load (pF),Distance (mm)", ",", `"Distance (mm)" read as hand; "Freq. (MHz)" read as frequency; "Load (pF)" read as added`, "#", "2026-05-03", "f:MHz", "c:pF", "h:mm"),
		h("frequency,error,capacitor", ",", `"error" read as frequency ±`, "f:MHz!", "u:kHz!", "c:pF!"),
		h("frequency [Hz],capacitance [nF],ferrite bead string", ",", `"capacitance [nF]" read as added; "ferrite bead string" read as core`, "f:Hz", "c:nF", "k"),
		h("peak at [MHz],clip-on cap [pF]", ",", `"clip-on cap [pF]" read as added; "peak at [MHz]" read as frequency`, "f:MHz", "c:pF"),
		// other languages
		h("Frequenz [MHz];Zusatzkapazität [pF];Kern;Bemerkung", ";", `"Bemerkung" read as note; "Kern" read as core; "Zusatzkapazität [pF]" read as added`, "f:MHz", "c:pF", "k", "trocken"),
		h("Resonanzfrequenz in MHz;Unsicherheit in kHz;Kapazität in pF;Handabstand in cm", ";", `"Resonanzfrequenz in MHz" read as frequency; "Unsicherheit in kHz" read as frequency ±; "Kapazität in pF" read as added; "Handabstand in cm" read as hand`, "f:MHz", "u:kHz", "c:pF", "h:cm"),
		h("Frequenz (kHz);Unsicherheit (kHz);Kondensator (pF);Handabstand (cm)", ";", `"Handabstand (cm)" read as hand; "Kondensator (pF)" read as added; "Unsicherheit (kHz)" read as frequency ±`, "f:kHz", "u:kHz", "c:pF", "h:cm"),
		h("fréquence (MHz);capacité ajoutée (pF);noyau;remarque", ";", `"capacité ajoutée (pF)" read as added; "noyau" read as core; "remarque" read as note`, "f:MHz", "c:pF", "k", "sec"),
		h("Fréquence de résonance [kHz];incertitude [kHz];main [cm]", ";", `"Fréquence de résonance [kHz]" read as frequency; "incertitude [kHz]" read as frequency ±; "main [cm]" read as hand`, "f:kHz", "u:kHz", "h:cm"),
		h("Núcleo;Frecuencia [MHz];Condensador [pF];Distancia mano [cm]", ";", `"Condensador [pF]" read as added; "Distancia mano [cm]" read as hand; "Núcleo" read as core`, "k", "f:MHz", "c:pF", "h:cm"),
		// slips and doubts
		h("frequncy [MHz],added [pF]", ",", `! did you mean "frequency [MHz]"`, "f:MHz", "c:pF"),
		h("Frequency MHz,added pF,core", ",", `"Frequency MHz" read as frequency; "added pF" read as added`, "f:MHz", "c:pF", "k"),
		h("f (mhz),added (pF)", ",", "! millihertz", "f:MHz", "c:pF"),
		h("frequency [MHz],added", ",", "! a unit in the header", "f:MHz", "c:pF"),
		h("f [MHz],C1 [pF],C2 [pF]", ",", "! several columns of capacitances", "f:MHz", "c:pF", "1"),
		h("f1 [MHz],f2 [MHz],added [pF]", ",", "! several columns could be the frequency", "f:MHz", "f:MHz", "c:pF"),
		h("f [MHz],calculated f [MHz],added [pF]", ",", "! beside the columns there are", "f:MHz", "f:MHz", "c:pF"),
		h("f [MHz],depth [mm],added [pF]", ",", "! where the core is", "f:MHz", "20", "c:pF"),
		h("f [MHz],tin,added [pF]", ",", "! what these numbers are", "f:MHz", "7.5", "c:pF"),
		h("f [MHz],K1,added [pF]", ",", "! what is marked", "f:MHz", "k?:x", "c:pF"),
		h("f [MHz],inside,added [pF]", ",", "! what is marked", "f:MHz", "k?:in", "c:pF"),
		h("f [MHz],stuff,added [pF]", ",", "! what these values are", "f:MHz", "ferrite", "c:pF"),
		h("frequency [MHz],C [pF,core", ",", "! open and close the brackets", "f:MHz", "c:pF", "k"),
		h("Lighthouse coil in May\nfrequency [MHz],added [pF],core", ",", "! put # in front", "f:MHz", "c:pF", "k"),
		h("Lighthouse coil;;\nf (MHz);C (pF);core", ";", "! put # in front", "f:MHz", "c:pF", "k"),
	}
}

// TestHeaders reads one session under headers as people write them: each is read
// rightly, and what was guessed is said; or it is refused with a header to use
// that, when used, works. No column of data is lost.
func TestHeaders(t *testing.T) {
	read, refused := 0, 0
	for _, c := range headerCases() {
		content := string(written(c.header, c.delimiter, c.fields...))
		l, err := Read(strings.NewReader(content), "log.csv", Options{})
		if says, ok := strings.CutPrefix(c.reads, "!"); ok {
			refused++
			if err == nil {
				t.Errorf("%s: read with %q, lost %q", c.header, l.Warnings, lost(l, c.fields))
			} else if !strings.Contains(err.Error(), strings.TrimSpace(says)) {
				t.Errorf("%s: %v", c.header, err)
			} else {
				useRemedy(t, c, content, err.Error())
			}
			continue
		}
		if read++; err != nil {
			t.Errorf("%s: %v", c.header, err)
			continue
		}
		if list := lost(l, c.fields); len(list) > 0 {
			t.Errorf("%s: lost %q", c.header, list)
		}
		var said []string
		for _, n := range l.Warnings {
			if text := strings.TrimPrefix(n, "log.csv:1: "); strings.Contains(text, " read as ") {
				said = append(said, text)
			}
		}
		slices.Sort(said)
		wanted := strings.Split(c.reads, "; ")
		slices.Sort(wanted)
		if got := strings.Join(said, "; "); got != strings.Join(wanted, "; ") {
			t.Errorf("%s: %s", c.header, got)
		}
	}
	t.Logf("%d read, %d refused", read, refused)
}

// useRemedy follows what a refusal says to do, and reads again.
func useRemedy(t *testing.T, c headerCase, content, refusal string) {
	t.Helper()
	header := strings.Split(c.header, "\n")
	fixed := header[len(header)-1]
	if _, whole, ok := strings.Cut(refusal, "use this header: "); ok {
		fixed, _, _ = strings.Cut(whole, "\n")
	} else if strings.Contains(refusal, "write the one that is meant") {
		fixed = strings.ReplaceAll(fixed, "mhz", "MHz")
	} else if strings.Contains(refusal, "put # in front") {
		fixed = "# " + c.header
	} else { // cell by cell
		names := strings.Split(fixed, c.delimiter)
		for _, line := range strings.Split(refusal, "\n") {
			var column int
			if _, err := fmt.Sscanf(line, "log.csv:1:%d", &column); err != nil {
				t.Fatalf("%s: %s", c.header, line)
			}
			_, do, _ := strings.Cut(line, "; ")
			parts := strings.Split(do, `"`)
			if len(parts) < 3 {
				t.Errorf("%s: no header to use: %s", c.header, line)
				return
			}
			names[column-1] = parts[1]
		}
		fixed = strings.Join(names, c.delimiter)
	}
	l, err := Read(strings.NewReader(strings.Replace(content, c.header, fixed, 1)), "log.csv", Options{})
	if err != nil {
		t.Errorf("%s: the header told, %s, is refused: %v", c.header, fixed, err)
		return
	}
	if list := lost(l, c.fields); len(list) > 0 && !strings.Contains(fixed, "note:") {
		t.Errorf("%s: with the header told, %s, lost %q", c.header, fixed, list)
	}
}

// TestDataFurtherDown: a column of text that turns out to hold data is a fault, be
// it a thousand rows down; a stray value is none.
func TestDataFurtherDown(t *testing.T) {
	far := "f [MHz],stuff\n" + strings.Repeat("2.5,\n", 1000)
	_, err := Read(strings.NewReader(far+"1.5,4.7 pF\n1.4,10 pF\n"), "log.csv", Options{})
	if err == nil || !strings.Contains(err.Error(), `log.csv:1:2 (column B): read "stuff"`) || !strings.Contains(err.Error(), "use this header: f [MHz],added [pF]") {
		t.Errorf("%v", err)
	}
	l := mustRead(t, []byte(far+"1.5,rain\n1.5,sun\n1.5,10 cm\n"), Options{})
	if n := strings.Join(l.Warnings, "; "); !strings.Contains(n, `not used: column "stuff"`) {
		t.Errorf("%q", n)
	}
}

// TestMarksUnderCore: where the header names the core, yes, x or in says that it is
// in.
func TestMarksUnderCore(t *testing.T) {
	l := mustRead(t, []byte("f [MHz],ferrite rod\n2.5,no\n1.8,yes\n1.8,X\n2.5,out\n1.8,in\n2.5,-\n1.8,TRUE\n2.5,false\n"), Options{})
	for i, in := range []bool{false, true, true, false, true, false, true, false} {
		if r := l.Readings[i]; r.Core != map[bool]string{true: "ferrite rod"}[in] {
			t.Errorf("line %d: core %q", r.Line, r.Core)
		}
	}
	if _, err := Read(strings.NewReader("f [MHz],ferrite\n1.8,yes\n1.7,rod\n"), "log.csv", Options{}); err == nil || !strings.Contains(err.Error(), "log.csv:3:2") {
		t.Errorf("%v", err)
	}
}
