package coilsheet

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/model/decisions"
	"fitcoil/model/field"
)

// drawnSheet is a slim coil with a core of beads: invented data.
const drawnSheet = `quantity,value,±,unit
turns,640,,
winding diameter,28,,mm
winding length,240,,mm
ball diameter,18,,mm
bead diameter,16,,mm
bead length,10,,mm
bead spacing,4,,mm
bead count,17,,
bead permeability,120,20 %,
`

// TestSlipsOfAUnit: a dimension in a wrong unit is refused by its row, with the
// unit that would fit.
func TestSlipsOfAUnit(t *testing.T) {
	mustRead(t, drawnSheet)
	for _, c := range []struct{ row, slip, says string }{
		{"winding length,240,,mm", "winding length,24,,m",
			`coil.csv:4:2 (column B, "value"): read "24 m", expected a winding length from 280 µm to 2.8 m, 1/100 to 100 times the winding diameter; is the unit right? 24 mm would fit`},
		{"winding length,240,,mm", "winding length,0.24,,mm",
			`coil.csv:4:2 (column B, "value"): read "0.24 mm", expected a winding length from 280 µm to 2.8 m, 1/100 to 100 times the winding diameter; is the unit right? 0.24 m would fit`},
		{"winding diameter,28,,mm", "winding diameter,28,,m",
			`coil.csv:3:2 (column B, "value"): read "28 m", expected a winding diameter from 500 µm to 5 m; is the unit right? 28 mm would fit`},
		{"ball diameter,18,,mm", "ball diameter,18,,m",
			`coil.csv:5:2 (column B, "value"): read "18 m", expected a ball diameter from 100 µm to 10 m; is the unit right? 18 mm would fit`},
		{"bead diameter,16,,mm", "bead diameter,16,,µm",
			`coil.csv:6:2 (column B, "value"): read "16 µm", expected a bead diameter from 100 µm to 5 m; is the unit right? 16 mm would fit`},
		{"bead diameter,16,,mm", "bead diameter,160,,mm", "coil.csv:6:2"},
		{"bead length,10,,mm", "bead length,10,,m",
			`coil.csv:7:2 (column B, "value"): read "10 m", expected a bead length from 160 µm to 1.6 m, 1/100 to 100 times the bead diameter; is the unit right? 10 mm would fit`},
		{"bead length,10,,mm", "bead length,10,,µm", "is the unit right? 10 mm would fit"},
		{"bead spacing,4,,mm", "bead spacing,40,,m", "is the unit right? 40 mm would fit"},
		{"bead count,17,,", "bead count,17000,,", `coil.csv:9:2 (column B, "value"): read "17000", expected a bead count of at most 200; check the number`},
		{"turns,640,,", "turns,640000,,", `coil.csv:2:2 (column B, "value"): read "640000", expected turns of at most 24000, a pitch of 10 µm; check the number`},
	} {
		sheet := strings.Replace(drawnSheet, c.row, c.slip, 1)
		s, err := Read(strings.NewReader(sheet), "coil.csv")
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %+v, %v\nwant %q", c.slip, s, err, c.says)
		}
	}
	// in a file with a decimal comma, as the cells have it
	sheet := strings.ReplaceAll(strings.Replace(drawnSheet, "length,240,,mm", "length,24.5,,m", 1), ",", ";")
	_, err := Read(strings.NewReader(strings.ReplaceAll(sheet, ".", ",")), "coil.csv")
	if err == nil || !strings.Contains(err.Error(), "24,5 mm would fit") {
		t.Error(err)
	}
	// a change by words and a sweep are bound too
	s := mustRead(t, drawnSheet)
	if c, err := s.With("winding length=24m"); err != nil || c.Drawing().Coil.Check() == nil {
		t.Errorf("%v", err)
	}
	if w, err := ParseSweep("bead length=1mm..20m"); err != nil || w.At(s, 20).Drawing().Coil.Check() == nil {
		t.Errorf("%v", err)
	}
}

// TestIncompleteBeads: a row that is missing is named, a permeability that
// isn't known costs certainty.
func TestIncompleteBeads(t *testing.T) {
	without := func(row string) string { return strings.Replace(drawnSheet, row+"\n", "", 1) }
	for row, says := range map[string]string{
		"bead diameter,16,,mm": `coil.csv:8: beads are counted here, but there is no row "bead diameter": add it, or take this one away`,
		"bead length,10,,mm":   `coil.csv:8: beads are counted here, but there is no row "bead length": add it, or take this one away`,
	} {
		if _, err := Read(strings.NewReader(without(row)), "coil.csv"); err == nil || err.Error() != says {
			t.Errorf("without %s: %v", row, err)
		}
	}
	s := mustRead(t, without("bead permeability,120,20 %,"))
	if len(s.Notices) != 1 || !strings.Contains(s.Notices[0], `coil.csv:9: there is no row "bead permeability": 450 is taken`) {
		t.Errorf("notices %q", s.Notices)
	}
	drawn := must.Get(s.Drawing().Predict()).In(t)
	gain := drawn.Find("core_gain")
	for _, mu := range []float64{100, 2000} {
		other := s.with(permeability, Given{Known: true, Value: mu})
		l := must.Get(other.Coil().FullGain()).In(t)
		if off := math.Abs(math.Log(l / gain.Value)); off > 1.05*gain.Uncertainty/gain.Value {
			t.Errorf("gain %g ± %g, but %g with %v", gain.Value, gain.Uncertainty, l, mu)
		}
	}
}

// TestOtherWords: what people call things leads to the name that the sheet has.
func TestOtherWords(t *testing.T) {
	for label, want := range map[string]string{
		"coil diameter": "winding diameter", "winding height": "winding length", "coil length": "winding length", "bead od": "bead diameter",
		"rod diameter": "bead diameter", "rod length": "bead length", "number of turns": "turns", "wire gauge": "wire diameter",
		"sphere diameter": "ball diameter", "bead mu": "bead permeability", "number of beads": "bead count", "bead gap": "bead spacing",
		"Winding dia": "winding diameter", "former OD": "former outer diameter", "tube diameter": "former outer diameter", "shield top": "box top", "ring thicknes": "ring thickness", "can diameter": "box diameter", "windig length": "winding length",
	} {
		_, err := Read(strings.NewReader("quantity,value,±,unit\n"+label+",1,,\n"), "coil.csv")
		if err == nil || !strings.Contains(err.Error(), `did you mean "`+want+`"?`) {
			t.Errorf("%s: %v, want %s", label, err, want)
		}
	}
	for _, label := range []string{"colour", "lamp diameter", "voltage", "length"} {
		_, err := Read(strings.NewReader("quantity,value,±,unit\n"+label+",1,,\n"), "coil.csv")
		if err == nil || strings.Contains(err.Error(), "did you mean") {
			t.Errorf("%s: %v", label, err)
		}
	}
}

// TestHalfGauge: NEMA MW 1000 lists half sizes of magnet wire, 16.5 AWG with
// 0.0480 in (from memory).
func TestHalfGauge(t *testing.T) {
	for _, sheet := range []string{"quantity,value,±,unit\nwire,16.5,,AWG\n", "quantity;value;±;unit\nwire;16,5 AWG;;\n"} {
		s := mustRead(t, sheet)
		if d := s.given[wire].Value / 0.0254; !(math.Abs(d-0.0480) <= 5e-5) {
			t.Errorf("%q: %g in", sheet, d)
		}
	}
}

// TestUncounted: a rod needs no count, beads with gaps do, and rows that make no core
// are told.
func TestUncounted(t *testing.T) {
	uncounted := strings.Replace(drawnSheet, "bead count,17,,\n", "", 1)
	rod := strings.Replace(uncounted, "bead spacing,4,,mm\n", "", 1)
	s := mustRead(t, rod)
	if b := s.Coil().Beads; b.Count != 1 || !strings.Contains(strings.Join(s.Notices, "\n"), "coil.csv:7: there is no row \"bead count\": one is taken, a rod") {
		t.Errorf("%+v, %q", b, s.Notices)
	}
	if _, err := Read(strings.NewReader(uncounted), "coil.csv"); err == nil || !strings.Contains(err.Error(), "coil.csv:8: beads stand apart here") {
		t.Errorf("beads with gaps: %v", err)
	}
	s = mustRead(t, strings.Replace(rod, "bead length,10,,mm\n", "", 1))
	if said := strings.Join(s.Notices, "\n"); s.Coil().Beads.Count != 0 || strings.Count(said, ": not used: a core is computed from") != 2 {
		t.Errorf("no length: %q", said)
	}
}

// What would do is rounded inwards, so that it would itself; units by size; in a sentence.
func TestWordsOfABound(t *testing.T) {
	for _, c := range []struct {
		e    field.SizeError
		want string
	}{
		{field.SizeError{Quantity: "wire diameter", Value: 0.6e-3, High: 0.50049e-3, Against: "the winding length over the turns"}, "wire diameter 600 µm: expected at most 500 µm, the winding length over the turns"},
		{field.SizeError{Quantity: "turns", Value: 2e6, Low: 0.1, High: 1e6, Pure: true}, "turns 2e+06: expected from 0.1 to 1e+06"},
		{field.SizeError{Quantity: "bead diameter", Value: 1e-3, Low: 1.2341e-3, High: math.Inf(1)}, "bead diameter 1 mm: expected at least 1.24 mm"},
		{field.SizeError{Quantity: "winding length", Value: 60, Low: 1e-4, High: 50}, "winding length 60 m: expected from 100 µm to 50 m"},
		{field.SizeError{Quantity: "bore", Value: 1e-3, Low: 1.23451e-3, High: 1.23459e-3}, "bore 1 mm: expected from 1.23451 mm to 1.23459 mm"},
	} {
		if got := Worded(&c.e).Error(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	for _, c := range []struct{ x, up, down float64 }{{1.2341, 1.24, 1.23}, {-1.2341, -1.23, -1.24}, {0, 0, 0}, {1.23, 1.23, 1.23}, {999.4, 1000, 999}} {
		if up, down := inwards(c.x, 3, math.Ceil), inwards(c.x, 3, math.Floor); !(math.Abs(up-c.up) <= 1e-9) || !(math.Abs(down-c.down) <= 1e-9) {
			t.Errorf("%v: %v and %v", c.x, up, down)
		}
	}
}

// Each flaw of a drawing has words, with its values in them.
func TestWordsOfAFlaw(t *testing.T) {
	if len(flaws) != int(field.HandInBox)+1 || slices.Contains(flaws[:], "") {
		t.Errorf("%d flaws have words: %q", len(flaws), flaws)
	}
	for want, err := range map[string]error{
		"beads 12.35 mm thick don't fit into a winding 10 mm wide":                                                &field.Impossible{Flaw: field.BeadsTooThick, Values: []float64{0.012346, 0.01}},
		"bead permeability 0.5: expected above 1":                                                                 &field.Impossible{Flaw: field.BeadPermeability, Values: []float64{0.5}},
		"a primary needs turns, at most 1000, a diameter and a wire diameter above zero":                          &field.Impossible{Flaw: field.PrimaryIncomplete, Values: []float64{1000}},
		"the box doesn't hold the coil: what is drawn in it reaches from -5 to 250 mm and is 30 mm wide":          &field.Impossible{Flaw: field.BoxTooSmall, Values: []float64{-0.005, 0.25, 0.03}},
		"hand 20 mm from the top: it is in the box, which is closed: beyond its lid a hand is 50 mm away or more": &field.Impossible{Flaw: field.HandInBox, Values: []float64{0.02, 0.05}},
		"no word on this": errors.New("no word on this"),
		"the beads as drawn cover the winding only partly, so that a change of them is not carried over":                                                      decisions.ErrCoversPart,
		"the beads as drawn reach beyond the winding's top, and what they do to the capacitance there is not carried over; draw as many as the winding holds": fmt.Errorf("change: %w", decisions.ErrBeyondTop),
	} {
		if got := Worded(err).Error(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if Worded(nil) != nil {
		t.Error("words for nothing")
	}
}

// Several sizes that no coil has are told at once, each with what would do beside the others that are right.
func TestSeveralSizes(t *testing.T) {
	_, err := Read(strings.NewReader("quantity,value,±,unit\nturns,640,,\nwinding diameter,28,,mm\nwinding length,240,,mm\nwire diameter,0.3,,m\nball diameter,18,,m\nhand diameter,100,,m\n"), "coil.csv")
	const want = `coil.csv:5:2 (column B, "value"): read "0.3 m", expected a wire diameter from 5 µm to 100 mm; check the number and its unit
coil.csv:6:2 (column B, "value"): read "18 m", expected a ball diameter from 100 µm to 10 m; check the number and its unit
coil.csv:7:2 (column B, "value"): read "100 m", expected a hand diameter from 1 mm to 10 m; is the unit right? 100 mm would fit`
	if err == nil || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
}

// The unit that would do is that of most other lengths, where it would do too; sizes are judged where nothing else is
// wrong.
func TestUnitOfTheOtherLengths(t *testing.T) {
	const head = "quantity,value,±,unit\nturns,640,,\n"
	for _, c := range []struct{ rows, want string }{
		{"winding diameter,28,,mm\nwinding length,240,,mm\nball diameter,18,,m\n", "18 mm"},
		{"winding diameter,2.8,,cm\nwinding length,24,,cm\nball diameter,18,,m\n", "18 cm"},
		{"winding diameter,1.1,,in\nwinding length,9.5,,in\nball diameter,18,,m\n", "18 in"},
		{"winding diameter,2.8,,cm\nwinding length,240,,mm\nball gap,1,,cm\nball diameter,18,,m\n", "18 cm"},
		{"winding diameter,2.8,,cm\nwinding length,240,,mm\nball gap,10,,mm\nball diameter,18,,m\n", "18 mm"},
		{"winding diameter,28,,mm\nwinding length,24,,cm\nball diameter,18,,m\n", "18 mm"},
		{"winding diameter,28,,mm\nwinding length,240,,mm\nball diameter,18 m,,\n", "18 mm"},
	} {
		_, err := Read(strings.NewReader(head+c.rows), "coil.csv")
		line := 2 + strings.Count(c.rows, "\n")
		want := fmt.Sprintf(`coil.csv:%d:2 (column B, "value"): read "18 m", expected a ball diameter from 100 µm to 10 m; is the unit right? %s would fit`, line, c.want)
		if err == nil || err.Error() != want {
			t.Errorf("%q: %v\nwant %s", c.rows, err, want)
		}
	}
	_, err := Read(strings.NewReader(head+"winding diameter,28,,mm\nwinding length,240,,mm\nball diameter,18,,m\nball gap,-1,,mm\n"), "coil.csv")
	if want := `coil.csv:6:2 (column B, "value"): read "-1", expected a value of 0 or more; leave the row out when it is not known`; err == nil || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
	// Each row on beads that makes no core is told, whichever it is.
	for _, name := range []string{"bead diameter", "bead length", "bead spacing", "bead start", permeability} {
		unit := map[bool]string{name == permeability: ",850,20 %,", name != permeability: ",10,,mm"}[true]
		s := mustRead(t, head+name+unit+"\n")
		if want := []string{`coil.csv:3: not used: a core is computed from rows "bead diameter" and "bead length"`}; !slices.Equal(s.Notices, want) {
			t.Errorf("%s: %q", name, s.Notices)
		}
	}
}

// The columns stand in any order, each once, the first too.
func TestColumnsInAnyOrder(t *testing.T) {
	cells := map[string]string{"quantity": "winding diameter", "value": "28", "±": "0.1", "uncertainty": "0.1", "unit": "mm", "units": "mm", "note": "invented"}
	for _, head := range []string{"quantity,value,±,unit", "value,quantity,unit,±", "unit,±,value,quantity", "±,unit,quantity,value", "Value,Unit,Uncertainty,Quantity", "±,units,value,note,quantity"} {
		var row []string
		for _, h := range strings.Split(head, ",") {
			row = append(row, cells[strings.ToLower(h)])
		}
		s := mustRead(t, head+"\n"+strings.Join(row, ",")+"\n")
		if v := s.given["winding diameter"]; !(math.Abs(v.Value-28e-3) < 1e-15) || !(math.Abs(v.Uncertainty-1e-4) < 1e-15) || v.Line != 2 || len(s.Notices) > 0 {
			t.Errorf("%s: %+v, %q", head, v, s.Notices)
		}
		first, _, _ := strings.Cut(head, ",")
		_, err := Read(strings.NewReader(head+","+first+"\n"), "coil.csv")
		n := strings.Count(head, ",") + 2
		if want := fmt.Sprintf("coil.csv:1:%d (column %c): read %q, expected each column once", n, 'A'+n-1, first); err == nil || err.Error() != want {
			t.Errorf("%v\nwant %s", err, want)
		}
	}
}

// What changes a drawing is known by its name, and columns of remarks are left out in silence.
func TestChangesAndRemarksByName(t *testing.T) {
	for word, want := range map[string]bool{"ring=x": true, "Primary_Metal=x": true, "ball diameter=1": true, "beads=": true, "ring": false, "ball diameter": false, "lamp=1": false, "=": false} {
		if IsChange(word) != want {
			t.Errorf("%q is a change: %v", word, !want)
		}
	}
	for _, name := range []string{"", "note", "Notes", "comment", "comments", "remark", "remarks"} {
		if s := mustRead(t, "quantity,value,±,unit,"+name+"\nturns,640,,,x\n"); len(s.Notices) > 0 {
			t.Errorf("%s: %q", name, s.Notices)
		}
	}
	for _, text := range []string{"grounded closed slit", "floating slit slit", "grounded grounded closed", "closed", "grounded"} {
		if _, err := mustRead(t, drawnSheet).With("ring=" + text); err == nil {
			t.Errorf("a ring is %s", text)
		}
	}
	if got := Worded(&field.SizeError{Quantity: "winding length", Value: 1, Low: 1e-4, High: 0.9}).Error(); got != "winding length 1 m: expected from 100 µm to 900 mm" {
		t.Error(got)
	}
}

// A drawing needs turns, diameter and length of the winding, whatever else there is; and has a coating without a former,
// and a former without a coating.
func TestWhatADrawingNeeds(t *testing.T) {
	const head = "quantity,value,±,unit\n"
	least := []string{"turns,640,,\n", "winding diameter,28,,mm\n", "winding length,240,,mm\n"}
	if !mustRead(t, head+strings.Join(least, "")).CanPredict() {
		t.Error("these three are enough")
	}
	for i := range least {
		if mustRead(t, head+strings.Join(append(slices.Clone(least[:i]), least[i+1:]...), "")+"ball diameter,20,,mm\n").CanPredict() {
			t.Errorf("drawn without %q", least[i])
		}
	}
	all := head + strings.Join(least, "") + "wire diameter,0.2,,mm\n"
	coated := mustRead(t, all+"coating thickness,0.5,,mm\ncoating permittivity,3,,\n").Coil()
	near.Times(t, "thickness", coated.Coating.Thickness, 0.5e-3, 1e-12)
	near.Times(t, "permittivity", coated.Coating.Permittivity, 3, 1e-12)
	tube := mustRead(t, all+"former outer diameter,27.5,,mm\nformer inner diameter,25,,mm\nformer permittivity,2.6,,\n").Coil()
	near.Times(t, "outer", tube.Former.Outer, 27.5e-3, 1e-12)
	near.Times(t, "inner", tube.Former.Inner, 25e-3, 1e-12)
	near.Times(t, "of the former", tube.Former.Permittivity, 2.6, 1e-12)
	if coated.Former != (field.Tube{}) || tube.Coating != (field.Coating{}) {
		t.Errorf("%+v, %+v", coated.Former, tube.Coating)
	}
}
