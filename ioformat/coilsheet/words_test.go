package coilsheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/estimation"
	"fitcoil/model/field"
	"fitcoil/model/readings"
)

// Each quantity goes where it belongs: 1 in its unit, 2 in the next, and so on, come out of the coil
// in the fields that the table names.
func TestEachQuantityHasItsPlace(t *testing.T) {
	var sheet strings.Builder
	sheet.WriteString("quantity,value,±,unit\n")
	want := map[string]float64{}
	for i, e := range entries() {
		if e.name == boxDiameter {
			continue
		}
		v := float64(i + 2)
		unit, si := "", v
		switch e.dimension {
		case quantity.Length:
			unit, si = "mm", v*1e-3
		case quantity.Frequency:
			unit, si = "kHz", v*1e3
		case quantity.Voltage:
			unit, si = "kV", v*1e3
		}
		fmt.Fprintf(&sheet, "%s,%v,1%%,%s\n", e.name, v, unit)
		want[e.name] = si
	}
	table, err := Read(strings.NewReader(sheet.String()+"ring,grounded slit,,\nprimary metal,floating,,\ncore,my  rod,,\n"), "coil.csv")
	if err != nil && !strings.Contains(err.Error(), "expected") {
		t.Fatal(err)
	}
	if err != nil { // such sizes don't go together: each by itself then
		table = &Sheet{given: map[string]Given{}}
		for _, e := range entries() {
			if si, ok := want[e.name]; ok {
				table.given[e.name] = Given{Known: true, Value: si, Uncertainty: 0.01 * si}
			}
		}
		table.RingGrounded, table.RingSlit, table.PrimaryFloating = true, true, true
	}
	c := table.Coil()
	for name, got := range map[string]float64{
		"turns": c.Turns, "winding diameter": c.Diameter, "winding length": c.Length, "wire diameter": c.Wire, "ball diameter": c.Ball, "ball gap": c.BallGap, "height above ground": c.Height, "hand diameter": c.Hand,
		"bead diameter": c.Beads.Diameter, "bead length": c.Beads.Length, "bead spacing": c.Beads.Spacing, "bead count": float64(c.Beads.Count), "bead permeability": c.Beads.Permeability, "bead start": c.Beads.Start,
		"bead loss tangent": table.given["bead loss tangent"].Value, "bead loss frequency": table.given["bead loss frequency"].Value, "top voltage": table.given["top voltage"].Value, "former outer diameter": c.Former.Outer, "former inner diameter": c.Former.Inner, "former permittivity": c.Former.Permittivity,
		"coating thickness": c.Coating.Thickness, "coating permittivity": c.Coating.Permittivity, "primary turns": c.Primary.Turns, "primary diameter": c.Primary.Diameter, "primary height": c.Primary.Height, "primary spacing": c.Primary.Spacing, "primary wire diameter": c.Primary.Wire,
		"ring diameter": c.Ring.Diameter, "ring thickness": c.Ring.Thickness, "ring height": c.Ring.Height, "plate diameter": c.Plate.Diameter, "plate hole": c.Plate.Hole, "plate height": c.Plate.Height, "box bottom": c.Box.Bottom, "box top": c.Box.Top,
	} {
		if math.Abs(got-want[name]) > 1e-12*want[name] {
			t.Errorf("%s is %v, want %v", name, got, want[name])
		}
	}
	if got, want := c.Box.Diameter, field.SquareBox(want["box width"]); got != want {
		t.Errorf("a square box is as a round one of %v, want %v", got, want)
	}
	if c.Ring.Floating || !c.Ring.Slit || c.Primary.Metal != field.Floating {
		t.Errorf("%+v, %+v", c.Ring, c.Primary)
	}
	d := table.Drawing()
	if d.LossTangent != want["bead loss tangent"] || d.LossFrequency != want["bead loss frequency"] {
		t.Errorf("%+v", d)
	}
}

// A drawing has a variant for each uncertain dimension, moved by its uncertainty; what was taken for a
// permeability is moved down.
func TestVariants(t *testing.T) {
	s := mustRead(t, "quantity,value,±,unit\nturns,640,0,\nwinding diameter,28,0.1,mm\nwinding length,240,1,mm\nbead diameter,16,0.2,mm\nbead length,200,0.5,mm\n")
	d := s.Drawing()
	base := s.Coil()
	var got []string
	for _, v := range d.Variants {
		for what, pair := range map[string][2]float64{"diameter": {v.Diameter, base.Diameter}, "length": {v.Length, base.Length}, "bead diameter": {v.Beads.Diameter, base.Beads.Diameter}, "bead length": {v.Beads.Length, base.Beads.Length}, "permeability": {v.Beads.Permeability, base.Beads.Permeability}} {
			if pair[0] != pair[1] {
				got = append(got, fmt.Sprintf("%s %+.3g", what, pair[0]-pair[1]))
			}
		}
	}
	if want := []string{"diameter +0.0001", "length +0.001", "bead diameter +0.0002", "bead length +0.0005", "permeability -350"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if n := s.Notices; len(n) != 2 || n[0] != `coil.csv:6: there is no row "bead count": one is taken, a rod` ||
		n[1] != `coil.csv:6: there is no row "bead permeability": 450 is taken, from 100 to 2000 as one standard uncertainty, as ferrite grades for rods and beads have it` {
		t.Errorf("%q", n)
	}
	if len(d.Variants) != 5 {
		t.Errorf("%d variants", len(d.Variants))
	}
	// The first quantity of a sheet counts too: half a turn, counted wrongly.
	turns := mustRead(t, "quantity,value,±,unit\nturns,640,0.5,\nwinding diameter,28,0.1,mm\nwinding length,240,1,mm\n").Drawing()
	if len(turns.Variants) != 3 || turns.Variants[0].Turns != 640.5 || turns.Coil.Turns != 640 {
		t.Errorf("%+v", turns.Variants)
	}
	if !s.CanPredict() || s.given["bead count"].Value != 1 || !s.given[permeability].Assumed {
		t.Errorf("%+v", s)
	}
}

// What is wrong with a row is told with its place and with what to do; what isn't used is told too.
func TestRowsWordForWord(t *testing.T) {
	const head = "quantity,value,±,unit\n"
	const drawn = head + "turns,640,,\nwinding diameter,28,,mm\nwinding length,240,,mm\n"
	const value, quantityColumn, pm, unit = `(column B, "value"): `, `(column A, "quantity"): `, `(column C, "±"): `, `(column D, "unit"): `
	const primaryRows = `not used: a primary is computed from rows "primary turns", "primary diameter", "primary height" and "primary wire diameter"`
	for _, c := range []struct{ sheet, want string }{
		{"quantity,size\n", "coil.csv:1: read \"quantity,size\", expected the header of a coil sheet: quantity,value,±,unit; put that header on top; a bench log is no coil sheet"},
		{"quantity,value,value\n", "coil.csv:1:3 (column C): read \"value\", expected each column once"}, {"quantity,value,±,Uncertainty\n", "coil.csv:1:4 (column D): read \"Uncertainty\", expected each column once"},
		{head, "coil.csv: there is no quantity below the header, expected one row for each quantity"},
		{head + "turns,1,,\nTurns,2,,\n", "coil.csv:3:1 " + quantityColumn + "read \"Turns\", expected each quantity once; it stands on line 2 already"}, {head + "wire,28,,AWG\nwire diameter,1,,mm\n", "coil.csv:3:1 " + quantityColumn + "read \"wire diameter\", expected each quantity once; it stands on line 2 already"},
		{head + "ring,floating slit,,\nRING,closed,,\n", "coil.csv:2: a ring is drawn here, but there is no row \"ring diameter\" and no row \"ring thickness\" and no row \"ring height\": add it, or take this one away\ncoil.csv:3:1 " + quantityColumn + "read \"RING\", expected each quantity once; it stands on line 2 already"},
		{head + ",1,,\n", "coil.csv:2:1 " + quantityColumn + "the cell is empty, expected the name of a quantity; name it, or delete the row"}, {head + "core, ,,\n", "coil.csv:2:2 " + value + "the cell is empty, expected the name that the log has for the core"},
		{head + "ring,grounded,,\n", "coil.csv:2: a ring is drawn here, but there is no row \"ring diameter\" and no row \"ring thickness\" and no row \"ring height\": add it, or take this one away\ncoil.csv:2:2 " + value + "read \"grounded\", expected grounded or floating, and closed or slit; a closed ring is a shorted turn, a slit one carries no current"},
		{head + "primary metal,slit,,\n", "coil.csv:2:2 " + value + "read \"slit\", expected grounded or floating"}, {head + "primary metal,,,\n", "coil.csv:2:2 " + value + "the cell is empty, expected grounded or floating"},
		{head + "primary metal,grounded floating,,\n", "coil.csv:2:2 " + value + "read \"grounded floating\", expected grounded or floating"},
		{head + "turns,0,,\n", "coil.csv:2:2 " + value + "read \"0\", expected a value above 0; leave the row out when it is not known"}, {head + "ball gap,-1,,mm\n", "coil.csv:2:2 " + value + "read \"-1\", expected a value of 0 or more; leave the row out when it is not known"},
		{head + "permeability,1,,\n", "coil.csv:2:2 " + value + "read \"1\", expected a value above 1.0; leave the row out when it is not known"}, {head + "beads,2.5,,\n", "coil.csv:2:2 " + value + "read \"2.5\", expected a whole number; count them"},
		{head + "ball diameter,18,0,mm\n", "coil.csv:2:3 " + pm + "read \"0\", expected a standard uncertainty above 0; leave the cell empty to have it taken from the digits of the value"}, {head + "ball diameter,18,-1,mm\n", "coil.csv:2:3 " + pm + "read \"-1\", expected a ± of 0 or more; write it without a sign"},
		{head + "ball diameter,18,1 pF,mm\n", "coil.csv:2:3 " + pm + "read \"1 pF\", expected a length with its unit (µm, mm, cm, in, m) or a percentage; pF is the unit of a capacitance"}, {head + "ball diameter,18,x,mm\n", "coil.csv:2:3 " + pm + "read \"x\", expected a length with its unit (µm, mm, cm, in, m) or a percentage"},
		{head + "ball diameter,18,,pF\n", "coil.csv:2:4 " + unit + "read \"pF\", expected a unit of length (µm, mm, cm, in or m); pF is the unit of a capacitance"}, {head + "ball diameter,18,,AWG\n", "coil.csv:2:4 " + unit + "read \"AWG\", expected a unit of length; a gauge is that of the wire diameter"},
		{head + "ball diameter,18,,\n", "coil.csv:2:2 " + value + "read \"18\", expected a length with its unit (µm, mm, cm, in, m); the unit is missing"},
		{head + "wire,28.3,,AWG\n", "coil.csv:2:2 " + value + "read \"28.3\", expected a gauge from 0000 to 50, whole or half, such as 28 or 28.5; for a diameter, write it with mm"}, {head + "wire,51 AWG,,\n", "coil.csv:2:2 " + value + "read \"51\", expected a gauge from 0000 to 50, whole or half, such as 28 or 28.5; for a diameter, write it with mm"},
		{head + "wire,28,0,AWG\n", "coil.csv:2:3 " + pm + "read \"0\", expected a ± in % or with a unit of length"}, {head + "wire,28,1,AWG\n", "coil.csv:2:3 " + pm + "read \"1\", expected a ± in % or with a unit of length"}, {head + "wire,28,0 %,AWG\n", "coil.csv:2:3 " + pm + "read \"0 %\", expected a ± in % or with a unit of length"}, {"quantity;value;±;unit\nwire;28,5.1;;AWG\n", "coil.csv:2:2 " + value + "read \"28,5.1\", expected a number with one decimal mark; write the digits without marks between them"}, {"quantity;value;±;unit\nturns;64,5;;\nwire;28.5;;AWG\n", "coil.csv:3:2 " + value + "read \"28.5\", expected the same decimal mark as in line 2 (\"64,5\"); use one mark in the whole file"}, {head + "wire,28,x%,AWG\n", "coil.csv:2:3 " + pm + "read \"x%\", expected a length with its unit (µm, mm, cm, in, m) or a percentage"},
		{head + "weight by meter,1,2%,kg\n", "coil.csv:2:1 " + quantityColumn + "read \"weight by meter\", expected a quantity that a fit reports, such as inductance by meter; the value of a part is given as \"part\" and its name"}, {head + "inductnce by meter,1,2%,mH\n", "coil.csv:2:1 " + quantityColumn + "read \"inductnce by meter\", expected a quantity that a fit reports, such as inductance by meter; did you mean \"inductance by meter\"?"},
		{head + "inductance by meter,1,,mH\n", "coil.csv:2:3 " + pm + "the cell is empty, expected a standard uncertainty; say how well the meter reads, if only roughly, such as 2 %"}, {head + "inductance by meter,-1,2%,mH\n", "coil.csv:2:2 " + value + "read \"-1mH±2%\", expected a value above zero"},
		{head + "part roof,2.8,,pF\n", "coil.csv:2:3 " + pm + "the cell is empty, expected the tolerance of the part; write it in % or in the unit of the value; 0 stands for exact"}, {head + "part roof,0,5%,pF\n", "coil.csv:2:2 " + value + "read \"0\", expected a capacitance above 0; leave the row out when it is not known"},
		{head + "colour,1,,\n", "coil.csv:2:1 " + quantityColumn + "read \"colour\", expected a quantity of the coil sheet; there are turns, winding diameter, winding length, wire diameter, ball diameter, ball gap, height above ground, hand diameter, bead diameter, bead length, bead spacing, bead count, bead permeability, bead start, bead loss tangent, bead loss frequency, former outer diameter, former inner diameter, former permittivity, coating thickness, coating permittivity, top voltage, primary turns, primary diameter, primary height, primary spacing, primary wire diameter, ring diameter, ring thickness, ring height, plate diameter, plate hole, plate height, box diameter, box width, box bottom, box top, core, \"part\" and its name, \"inductance by meter\" and the like"},
		{head + "coil height,1,,mm\n", "coil.csv:2:1 " + quantityColumn + "read \"coil height\", expected a quantity of the coil sheet; did you mean \"winding length\"?"},
		{drawn + "bead count,3,,\n", "coil.csv:5: beads are counted here, but there is no row \"bead diameter\" and no row \"bead length\": add it, or take this one away"}, {drawn + "bead diameter,16,,mm\nbead length,10,,mm\nbead spacing,1,,mm\n", "coil.csv:7: beads stand apart here, but there is no row \"bead count\": add it, or take this one away"},
		{head + "primary turns,3,,\nprimary diameter,40,,mm\n", "coil.csv:2: a primary is counted here, but there is no row \"primary height\" and no row \"primary wire diameter\" and no row \"primary spacing\": add it, or take this one away"}, {head + "primary turns,1,,\nprimary diameter,40,,mm\nprimary height,0,,mm\n", "coil.csv:2: a primary is counted here, but there is no row \"primary wire diameter\": add it, or take this one away"},
		{head + "former permittivity,3,,\n", "coil.csv:2: there is no row \"former inner diameter\" to go with \"former permittivity\": add it, or take this one away"}, {head + "coating thickness,1,,mm\n", "coil.csv:2: there is no row \"coating permittivity\" to go with \"coating thickness\": add it, or take this one away"}, {head + "bead loss tangent,0.01,,\n", "coil.csv:2: there is no row \"bead loss frequency\" to go with \"bead loss tangent\": add it, or take this one away"},
		{head + "plate hole,40,,mm\n", "coil.csv:2: a plate is drawn here, but there is no row \"plate diameter\" and no row \"plate height\": add it, or take this one away"}, {head + "box width,200,,mm\nbox top,300,,mm\n", "coil.csv:2: a box is drawn here, but there is no row \"box bottom\": add it, or take this one away"},
		{head + "box width,200,,mm\nbox diameter,200,,mm\nbox top,300,,mm\nbox bottom,-50,,mm\n", "coil.csv:2: a box is round or square: take the row \"box diameter\" or \"box width\" away"},
		{"quantity,value,±,unit,colour,note\nturns,640,,,red,\n", "notice coil.csv:1: not used: \"colour\""}, {head + "primary diameter,40,,mm\n", "notice coil.csv:2: " + primaryRows}, {head + "primary metal,floating,,\n", "notice coil.csv:2: " + primaryRows},
		{head + "former outer diameter,30,,mm\n", "notice coil.csv:2: not used: a former is computed from rows \"former inner diameter\" and \"former permittivity\""}, {head + "bead spacing,1,,mm\nbead start,0,,mm\n", "notice coil.csv:2: not used: a core is computed from rows \"bead diameter\" and \"bead length\"|coil.csv:3: not used: a core is computed from rows \"bead diameter\" and \"bead length\""},
		{head + "ring diameter,60,,mm\nring thickness,2,,mm\nring height,0,,mm\n", "notice coil.csv:2: there is no row \"ring\": floating and closed, a shorted turn, is taken"}, {head + "permeability,850,,\nbead diameter,10,,mm\nbead length,20,,mm\n", "notice coil.csv:2: the permeability has no ±: 20 % is taken, as ferrite grades have it|coil.csv:4: there is no row \"bead count\": one is taken, a rod"},
	} {
		s, err := Read(strings.NewReader(c.sheet), "coil.csv")
		got := ""
		if err != nil {
			got = err.Error()
		} else if len(s.Notices) > 0 {
			got = "notice " + strings.Join(s.Notices, "|")
		}
		if got != c.want {
			t.Errorf("%q: %s\nwant %s", c.sheet, got, c.want)
		}
	}
}

// What a name was perhaps meant to be.
func TestMeantNames(t *testing.T) {
	for label, want := range map[string]string{
		"coil length": "winding length", "secondary dia": "winding diameter", "tube od": "former outer diameter", "shield width": "box width", "can diameter": "box diameter", "cage bottom": "box bottom", "enclosure top": "box top", "disc hole": "plate hole", "sphere diameter": "ball diameter",
		"topload ø": "ball diameter", "top diam": "ball diameter", "ferrite len": "bead length", "rod long": "bead length", "beads number": "bead count", "bead distance": "bead spacing", "bead gap": "bead spacing", "mu": "bead permeability", "µr": "bead permeability", "ferrite mur": "bead permeability",
		"wire gauge": "wire diameter", "awg": "wire diameter", "number of turns": "turns", "windings": "turns", "ring thickness": "ring thickness", "plate height": "plate height", "winding thickness": "winding diameter", "hand width": "hand diameter", "ball gap": "ball gap", "ball distance": "ball spacing?", "primary height": "primary height", "bal diameter": "ball diameter", "xyz": "?",
	} {
		c, _, err := cut(label + "=1")
		got := c.name
		if err != nil {
			_, do, _ := strings.Cut(err.Error(), `did you mean "`)
			if got = strings.TrimSuffix(do, `"?`); do == "" {
				got = "?"
			}
		}
		if got != want && !strings.HasSuffix(want, "?") || want == "?" && got != "?" {
			t.Errorf("%q: %q, want %q", label, got, want)
		}
	}
}

// Changes and sweeps of a drawing say what is wrong with them, and gauges are diameters.
func TestChangesWordForWord(t *testing.T) {
	s := mustRead(t, drawnSheet)
	for word, want := range map[string]string{
		"ball diameter=30": `read "30", expected a length with its unit (µm, mm, cm, in, m); the unit is missing`, "ball diameter": `read "ball diameter", expected quantity=value, such as "ball diameter=30mm"`, "wire=60AWG": `read "60", expected a gauge from 0000 to 50, whole or half, such as 28 or 28.5; for a diameter, write it with mm`,
		"beads=2.5": `read "2.5", expected a whole number; count them`, "ring=open": `read "open", expected grounded or floating, and closed or slit; a closed ring is a shorted turn, a slit one carries no current`,
	} {
		if _, err := s.With(word); err == nil || err.Error() != want {
			t.Errorf("%q: %v\nwant %s", word, err, want)
		}
	}
	for word, want := range map[string]string{
		"bead spacing=1mm": `read "1mm", expected two values joined by .., such as 1mm..8mm`, "bead spacing=8mm..1mm": `read "8mm..1mm", expected the smaller value first`, "bead spacing=2mm..2mm": `read "2mm..2mm", expected the smaller value first`, "bead spacing=-1mm..8mm": `read "-1mm", expected a value of 0 or more; leave the row out when it is not known`,
		"bead length=1..x": `read "x", expected a length with its unit (µm, mm, cm, in, m)`, "beads=1..2.5": `read "2.5", expected a whole number; count them`, "beads=x..3": `read "x", expected a number`,
	} {
		if _, err := ParseSweep(word); err == nil || err.Error() != want {
			t.Errorf("%q: %v\nwant %s", word, err, want)
		}
	}
	// ASTM B258, from memory: 28 AWG is 0.01264 in, 0000 AWG 0.46 in.
	for _, text := range []string{"00000", "-1", "50.5", "28.25", "", "x", "1e1000"} {
		if n, ok := gaugeNumber(text, quantity.Point); ok {
			t.Errorf("%q is gauge %v", text, n)
		}
	}
	for text, inches := range map[string]float64{"28AWG": 0.01264, "awg 0000": 0.46, "AWG000": 0.4096, "AWG 00": 0.3648, "0 AWG": 0.3249, "28.5 AWG": 0.01193} {
		c, err := s.With("wire diameter=" + text)
		if err != nil || math.Abs(c.given[wire].Value/(inches*0.0254)-1) > 1e-3 || c.given[wire].Uncertainty != 0 || !strings.HasSuffix(c.given[wire].Text, " AWG") {
			t.Errorf("%s: %+v, %v", text, c, err)
		}
	}
	c, err := s.With("primary wire diameter=18AWG")
	if err != nil || !c.given[primaryWire].Known || c.given[wire] != s.given[wire] {
		t.Errorf("%+v, %v", c, err)
	}
	if c, err = s.With("ring=Floating; closed"); err != nil || c.RingGrounded || c.RingSlit {
		t.Errorf("%+v, %v", c, err)
	}
	if c, err = s.With("primary_metal=grounded"); err != nil || c.PrimaryFloating {
		t.Errorf("%+v, %v", c, err)
	}
	g := mustRead(t, "quantity,value,±,unit\nwire,28,2%,AWG\nprimary wire diameter,18 AWG,0.02 mm,\n")
	if u := g.given[wire].Uncertainty / g.given[wire].Value; math.Abs(u-0.02) > 1e-9 || math.Abs(g.given[primaryWire].Uncertainty-2e-5) > 1e-12 || g.given[primaryWire].Text != "18 AWG" || g.given[primaryWire].Line != 3 {
		t.Errorf("%v, %+v", u, g.given[primaryWire])
	}
	for _, core := range []bool{false, true} {
		var got []string
		for _, w := range s.Changeable(core) {
			got = append(got, fmt.Sprintf("%s %v %v %s %v", w.Name, w.From, w.To, w.Unit.Symbol, w.Whole()))
		}
		want := []string{"turns 640 640  false", "winding length 0.24 0.24 mm false", "ball diameter 0.018 0.018 mm false"}
		if core {
			want = append(want, "bead count 17 17  true")
		}
		if !slices.Equal(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if list := (&Sheet{}).Changeable(true); list != nil {
		t.Errorf("%+v", list)
	}
	w, err := ParseSweep("bead spacing=1mm..8mm")
	if err != nil || math.Abs(w.Now(s)-4e-3) > 1e-12 || !math.IsNaN(w.Now(&Sheet{})) {
		t.Errorf("%v, %v", w.Now(s), err)
	}
	if got := fmt.Sprint(w.Values(4)); got != "[0.001 0.003333 0.005667 0.008]" {
		t.Error(got)
	}
	// The ends are as they are given, to the last digit.
	if w, err = ParseSweep("bead spacing=1.23456mm..8.76543mm"); err != nil || fmt.Sprint(w.Values(3)) != "[0.00123456 0.005 0.00876543]" {
		t.Errorf("%v, %v", w.Values(3), err)
	}
	if w, err = ParseSweep("beads=4..7"); err != nil || fmt.Sprint(w.Values(9)) != "[4 5 6 7]" || fmt.Sprint(w.Values(2)) != "[4 7]" || fmt.Sprint(w.Values(3)) != "[4 6 7]" {
		t.Errorf("%v, %v, %v, %v", w.Values(9), w.Values(2), w.Values(3), err)
	}
	if toDigits(0, 4) != 0 || math.Abs(toDigits(-0.123456, 4)+0.1235) > 1e-12 || toDigits(99996, 4) != 1e5 {
		t.Error("four digits")
	}
}

// What a sheet tells a fit: the parts that nothing else tells of, meters, and the drawing with the
// hands of the log.
func TestTold(t *testing.T) {
	s := mustRead(t, drawnSheet+"part 4.7 pF,4.62,0.02,pF\npart roof,2.1,5%,pF\ninductance by meter,1.9,2%,mH\n")
	parts := s.PartsBeside(map[string]benchlog.PartValue{"4.7pF": {Capacitance: 1}})
	if len(parts) != 2 || parts["4.7pF"].Capacitance != 1 || parts["roof"].Capacitance != 2.1e-12 {
		t.Errorf("%+v", parts)
	}
	state := readings.Bare()
	state.Hand = 0.15
	session := estimation.Session{Log: readings.Log{Readings: []readings.Reading{{State: state, Use: true}}}}
	if err := s.Tell(&session); err != nil || len(session.Known) != 1 || session.Ladder == nil || session.Drawn == nil {
		t.Fatalf("%+v, %v", session, err)
	}
	hands := 0
	for _, e := range session.Drawn.Estimates {
		if e.Hand > 0 {
			hands++
			if e.Hand != 0.15 {
				t.Errorf("a hand at %v", e.Hand)
			}
		}
	}
	if hands == 0 {
		t.Error("no hand is drawn")
	}
	session = estimation.Session{}
	if err := mustRead(t, "quantity,value,±,unit\nwinding diameter,28,,mm\nwinding length,240,,mm\n").Tell(&session); err != nil || session.Ladder == nil || session.Drawn != nil {
		t.Errorf("%+v, %v", session, err)
	}
	session = estimation.Session{}
	if err := mustRead(t, "quantity,value,±,unit\nturns,640,,\n").Tell(&session); err != nil || session.Ladder != nil || session.Drawn != nil {
		t.Errorf("%+v, %v", session, err)
	}
	for text, want := range map[string]bool{"quantity,value\nturns,5\n": true, "Value; Quantity \n1;2\n": true, "quantity,size\n1,2\n": false, "": false, "value,x\n": false} {
		if IsSheet([]byte(text)) != want {
			t.Errorf("%q is a sheet: %v", text, !want)
		}
	}
}
