package benchlog

import (
	"fmt"
	"strings"
	"testing"
)

// Every name of a column that the trade uses, and the words by which people begin one in four languages
// (common practice), lead to that column. The table is written out again by hand.
func TestNamesOfColumns(t *testing.T) {
	for col, names := range map[column]string{
		frequency:       "frequency f freq f0 fres resonance resonance_frequency resonant_frequency frequenz fréquence frequence frecuencia",
		frequencyPM:     "frequency_uncertainty frequency_± f_+/-",
		added:           "added added_capacitance added_capacitor capacitor",
		addedPM:         "tolerance added_± added_+-",
		core:            "core",
		covered:         "covered coverage",
		hand:            "hand hand_distance",
		amplitude:       "amplitude amp",
		quality:         "quality_factor quality q q_factor",
		primary:         "primary",
		drive:           "drive driven_by",
		taken:           "time taken clock",
		use:             "use used",
		note:            "note notes comment comments remark remarks nota notiz",
		secondFrequency: "second_frequency second_peak other_peak",
	} {
		for _, name := range strings.Fields(names) {
			c := &columns{at: [numColumns]int{-1, -1}}
			if got, ok := c.identify(strings.NewReplacer("_", " ", "+/-", "±", "+-", "±").Replace(name), 0); !ok || got != col {
				t.Errorf("%q is %q, want %q", name, got.name(), col.name())
			}
		}
	}
	for col, words := range map[column]string{
		frequency: "f1 f0 fres fr fo freq frequenz fréq frecuencia frék resonanz résonance",
		added:     "c c1 ctop cext cadd cap capacité kapazität kondensator condensador addition extra zusatz zugefügt load top external ajouté añadido agregado",
		core:      "core ferrite rod slug kern noyau núcleo nucleo bead stab",
		covered:   "cover insertion overlap abdeckung eingetaucht couvert cubierto",
		hand:      "hand distance abstand entfernung palm person body main mano",
		amplitude: "amplitude vpp peak pickup level signal spannung",
		quality:   "q quality qualité güte guete calidad",
		use:       "use used valid ok keep",
		note:      "note remark comment bemerkung anmerkung kommentar remarque nota observación comentario",
	} {
		for _, w := range strings.Fields(words) {
			if h := findHints(w); !h.names(col) {
				t.Errorf("%q is no hint of %q: %+v", w, col.name(), h)
			}
		}
	}
	for words, want := range map[string]string{
		"± uncertainty incertitude error sigma std sd u unsicherheit deviation tolerance fehler":                                                                             "true false false",
		"calculated computed predicted model fit fitted theory expected total stray self drive generator supply bias estimated":                                              "false true false",
		"run no nr n num number nummer numéro index id row line reading point step order sample trial # day uhrzeit zeit heure hora temp temperature t humidity rh pressure": "false false true",
		"main0 runs mains stabil fox cx ctops sdx unit": "false false false",
	} {
		for _, w := range strings.Fields(words) {
			h := findHints(w)
			if got := fmt.Sprint(h.spread, h.other, h.plain); got != want {
				t.Errorf("%q: spread, other, plain are %s, want %s", w, got, want)
			}
		}
	}
}

// What a column under an unknown header holds, cell by cell: the counts of what was seen, and what at least
// half of the cells are.
func TestContentOfColumns(t *testing.T) {
	for _, c := range []struct {
		cells     string
		filled    int
		dimension string // "" for none
		counting  bool
		data      bool
	}{
		{"1|2|3", 3, "", true, false},
		{"1|2|4", 3, "", false, false},
		{"3|4|5|-|", 3, "", true, false},
		{"1|2|x", 3, "", false, false},
		{"4.7 pF|10 pF", 2, "a capacitance", false, true},
		{"4,7 pF+10 pF|roof", 2, "a capacitance", false, true},
		{"10 pF|roof|spike", 3, "", false, false},
		{"2.5 MHz|2.4 MHz|cold", 3, "a frequency", false, true},
		{"10 cm|none|5 mm|hot", 4, "a length", false, true},
		{"5 V|3 mV", 2, "a voltage", false, false},
		{"5 %|3", 2, "a percentage", false, false},
		{"60 ± 2 %|3", 2, "a percentage", false, false},
		{"rod|ferrite rod|x", 3, "", false, true},
		{"rod|no|no", 3, "", false, false},
		{"the ferrite rod|a long rod", 2, "", false, false},
		{"15 m|3 m", 2, "a length", false, true},
	} {
		k := newContent()
		for _, cell := range strings.Split(c.cells, "|") {
			k.add(cell)
		}
		d, measured := k.dimension()
		of := ""
		if measured {
			of = d.String()
		}
		if k.filled != c.filled || of != c.dimension || k.data() != c.data || c.counting != (k.counting && k.numbers == k.filled) {
			t.Errorf("%q: %+v, %q, data %v", c.cells, *k, of, k.data())
		}
	}
	k := newContent()
	for _, cell := range strings.Split("yes|no|x|in|out|true|FALSE|air|ja|oui|sí|✓", "|") {
		k.add(cell)
	}
	if k.marks != 12 {
		t.Errorf("%d of 12 are marks", k.marks)
	}
}

// Headers that are no names of columns, and what is done about them.
func TestHeadersTold(t *testing.T) {
	for header, says := range map[string]string{
		"f [MHz],frequency MHz":              "each column once; column A holds the frequency already",
		"f [MHz],note: weather":              `not used: column "note: weather"`,
		"f [MHz],note 2":                     `not used: column "note 2"`,
		"f [MHz],added (pF":                  `as in "added (pF)"`,
		"f [MHz],added pF)":                  `as in "added (pF)"`,
		"f [MHz],added pF]":                  `as in "added [pF]"`,
		"f [MHz],amplitude [DB]":             "convert decibels",
		"f [MHz],q [DB]":                     "which has no unit",
		"f [MHz],added' pF'":                 `"added' pF'" read as added`,
		"f [MHz],added|pF|":                  `"added|pF|" read as added`,
		"f [MHz],added {pF}":                 `"added {pF}" read as added`,
		"f [MHz],±":                          "a unit in the header or in each cell",
		"f [MHz],added [pF],±":               `write "added ± [%]" or "added ± [pF]"`,
		"frequency [MHz],note,± [kHz]":       `"± [kHz]" read as frequency ±`,
		"f [MHz],weight [kg]":                `not used: column "weight [kg]"`,
		"f [MHz],C [pF],C load [pF]":         "there are several columns of capacitances; write sums in one, as 4.7+10",
		"f [MHz],calculated [pF]":            "a header that tells what a capacitance it is, beside the columns there are",
		"f [MHz],humidity [%]":               `not used: column "humidity [%]"`,
		"f [MHz],share [%]":                  "a header that tells what a percentage it is",
		"f [MHz],core depth [mm]":            "the distance of a hand, or where the core is",
		"f [MHz],hand core [mm]":             "the distance of a hand, or where the core is",
		"f [MHz],pick [mV]":                  `"pick [mV]" read as amplitude`,
		"f [MHz],stuff,added [pF],things":    "use this header: f [MHz],note: stuff,added [pF],note: things",
		"f [MHz],C1 [nF],C2 [nF]":            "use this header: f [MHz],added [nF],note: C2 [nF]",
		"f [MHz],added [pF],tin:":            "use this header: f [MHz],added [pF],note: tin",
		"f [MHz],\"x, \"\"y\"\"\"":           `use this header: f [MHz],"note: x, ""y"""`,
		"f [MHz],\"x, y\",\"say \"\"x\"\"\"": `use this header: f [MHz],"note: x, y",note: say "x"`,
	} {
		row := "2.5" + strings.Repeat(",7.5", strings.Count(strings.ReplaceAll(header, "x, ", ""), ","))
		if got := said(header+"\n"+row+"\n"+strings.ReplaceAll(row, "7.5", "9.9")+"\n", Options{}); !strings.Contains(got, says) {
			t.Errorf("%s: %q, want %q", header, got, says)
		}
	}
	for text, says := range map[string]string{
		"f [MHz],pF\n2.5,\n2.4,\n":                                               `"pF" read as added`, // a unit is a header, but above text
		"f [MHz],pF\n2.5,10\n2.4,\n":                                             `"pF" read as added`,
		"f [MHz],pF\n2.5,Ann\n2.4,\n":                                            `not used: column "pF"`,
		"f [MHz],pF\n2.5,Ann\n2.4,10\n":                                          `"pF" read as added`,
		"f [MHz],cm\n2.5,\n":                                                     `"cm" read as hand`,
		"f [MHz],V\n2.5,\n":                                                      `"V" read as amplitude`,
		"f [MHz],V\n2.5,x\n2.4,y z\n":                                            `not used: column "V"`,
		"f [MHz],insertion [%]\n2.5,7.5\n":                                       "a header that tells what a percentage it is",
		"f [MHz],core,insertion [%]\n2.5,rod,7.5\n":                              `"insertion [%]" read as covered`,
		"f [MHz],Bemerkung\n2.5,3\n2.4,cold\n":                                   `"Bemerkung" read as note`,
		"f [MHz],day [pF]\n2.5,3\n":                                              "a header that tells what a capacitance it is",
		"f [MHz],temp\n2.5,7.5\n2.4,9.9\n":                                       `not used: column "temp"`,
		"f [MHz],tin:,added [pF]\n2.5,7.5,\n2.4,9.9,\n":                          "use this header: f [MHz],note: tin,added [pF]",
		"f [MHz],stuff\n2.5,ferrite rod\n2.4,brass\n":                            "use this header: f [MHz],core",
		"f [MHz],added [pF],C err [pF],C tol [pF]\n2.5,10,1,2\n":                 "use this header: f [MHz],added [pF],note: C err [pF],note: C tol [pF]",
		"f [MHz],f err [kHz],f dev [kHz]\n2.5,1,2\n":                             "use this header: f [MHz],note: f err [kHz],note: f dev [kHz]",
		"f [MHZ],added\nMHz,pF\n2.5,10\n":                                        "",
		"f,added\n2.5e0,10\n":                                                    "line 2 has a number without a unit",
		"f [MHz],added\n2.5,+10\n":                                               "line 2 has a number without a unit",
		"f [MHz],hand [mm],h\n2.5,20,x\n":                                        "what is marked",
		"f [MHz],who\n2.5,Ann\n2.4,7\n2.3,8\n":                                   `use this header: f [MHz],note: who`,
		"f [MHz],who\n2.5,Ann\n2.4,7\n":                                          `not used: column "who"`,
		"f [MHz],C\n2.5,10 pF\n2.4,Ann\n":                                        `"C" read as added`,
		"f [MHz],stuff\n" + strings.Repeat("2.5,\n", 250) + "2.4,3.5\n2.3,4.7\n": "a header that tells what its values are",
		"f [MHz],stuff\n" + strings.Repeat("2.5,\n", 250) + "2.4,3\n2.3,4\n":     `not used: column "stuff"`,
		"f [MHz],temp\n" + strings.Repeat("2.5,\n", 250) + "2.4,3.5\n2.3,4.7\n":  `not used: column "temp"`,
	} {
		if got := said(text, Options{}); says == "" && got != "" || !strings.Contains(got, says) {
			t.Errorf("%q: %q, want %q", text[:min(60, len(text))], got, says)
		}
	}
}
