package coilsheet

import (
	"bytes"
	"errors"
	"maps"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/internal/near"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/quantities"
)

func mustRead(t *testing.T, content string) *Sheet {
	t.Helper()
	return must.Get(Read(strings.NewReader(content), "coil.csv")).In(t)
}

// values strips a sheet of lines and texts, which differ between forms of it.
func values(s *Sheet) Sheet {
	c := *s
	c.given = maps.Clone(s.given)
	for name, v := range c.given {
		v.Line, v.Text = 0, ""
		c.given[name] = v
	}
	c.Meter = slices.Clone(s.Meter)
	if len(c.Meter) == 2 && c.Meter[0].Name == quantities.CoreGain { // in the other order
		c.Meter[0], c.Meter[1] = c.Meter[1], c.Meter[0]
	}
	c.Notices = nil
	return c
}

// TestFormats reads one sheet in several ways of writing it.
func TestFormats(t *testing.T) {
	files, err := filepath.Glob("../../testdata/formats/sheet/*.csv")
	if err != nil || len(files) < 5 {
		t.Fatalf("found %d sheets (%v)", len(files), err)
	}
	content := must.Get(os.ReadFile("../../testdata/formats/sheet/plain.csv")).In(t)
	plain := mustRead(t, string(content))
	for _, file := range files {
		content := must.Get(os.ReadFile(file)).In(t)
		if got := values(mustRead(t, string(content))); !reflect.DeepEqual(got, values(plain)) {
			t.Errorf("%s differs from plain.csv:\n%+v\n%+v", file, got, values(plain))
		}
	}
	for _, c := range []struct {
		name        string
		got         Given
		value, u    float64
		line        int
		writtenAsIn string
	}{
		{"turns", plain.given["turns"], 640, 0, 2, "640"},
		{"winding diameter", plain.given["winding diameter"], 28e-3, 0.1e-3, 3, "28.0 mm"},
		{"winding length", plain.given["winding length"], 0.24, 1e-3, 4, "240 mm"},
		// ASTM B258, table of solid round wire: AWG 28 is 0.01264 in
		{"wire", plain.given[wire], 0.01264 * 0.0254, 0.01 * 0.01264 * 0.0254 / math.Sqrt(3), 5, "28 AWG"},
		{"height", plain.given["height above ground"], 0.8, 0.016, 8, "0.80 m"},
		{"beads", plain.given["bead count"], 20, 0, 13, "20"},
		{"permeability", plain.given[permeability], 850, 170, 14, "850"},
		{"bead start", plain.given["bead start"], 4e-3, 1e-3, 15, "4 mm"},
	} {
		near := func(a, b float64) bool { return math.Abs(a-b) <= 5e-4*math.Abs(b) }
		if !c.got.Known || !near(c.got.Value, c.value) || !near(c.got.Uncertainty, c.u) || c.got.Line != c.line || c.got.Text != c.writtenAsIn {
			t.Errorf("%s: %+v, want %v ± %v", c.name, c.got, c.value, c.u)
		}
	}
	wantMeter := []quantities.Known{
		{Key: quantities.Key{Name: quantities.Inductance}, Value: 1.93e-3, Uncertainty: 0.02 * 1.93e-3},
		{Key: quantities.Key{Name: quantities.CoreGain, Core: "rod"}, Value: 1.6, Uncertainty: 0.1},
	}
	if !reflect.DeepEqual(plain.Meter, wantMeter) {
		t.Errorf("by meter: %+v, want %+v", plain.Meter, wantMeter)
	}
	wantParts := map[string]benchlog.PartValue{
		"lantern roof": {Capacitance: 2.1e-12, Uncertainty: 0.05 * 2.1e-12 / 1.96}, // a 95 % bound
		"4.7 pF":       {Capacitance: 4.62e-12, Uncertainty: 0.02e-12 / 1.96},
	}
	for name, want := range wantParts {
		got := plain.Parts[name]
		if got.Capacitance != want.Capacitance || !(math.Abs(got.Uncertainty-want.Uncertainty) <= 1e-12*want.Uncertainty) {
			t.Errorf("part %s: %+v, want %+v", name, got, want)
		}
	}
	if plain.Core != "rod" || len(plain.Parts) != 2 || len(plain.Notices) != 0 {
		t.Errorf("%+v", plain)
	}
	coil := plain.Coil()
	if coil.Turns != 640 || coil.Diameter != 28e-3 || coil.Length != 0.24 || coil.Wire != plain.given[wire].Value || coil.Ball != 18e-3 ||
		coil.BallGap != 2e-3 || coil.Height != 0.8 || coil.Hand != 0.1 || coil.Beads.Diameter != 16e-3 || coil.Beads.Length != 10e-3 ||
		coil.Beads.Spacing != 1.5e-3 || coil.Beads.Count != 20 || coil.Beads.Permeability != 850 || coil.Beads.Start != 4e-3 {
		t.Errorf("the drawing is %+v", coil)
	}
}

// TestUnstated: where there is no ±, the digits tell, or common practice.
func TestUnstated(t *testing.T) {
	s := mustRead(t, "quantity,value,±,unit\nball diameter,18.0,,mm\nbead permeability,850,,\nturns,640,,\nbead count,20,-,\nwire,0,,AWG\n")
	for _, c := range []struct {
		name string
		got  Given
		u    float64
	}{
		{"digits", s.given["ball diameter"], 0.1e-3 / 2 / math.Sqrt(3)}, // JCGM 100:2008, 4.3.7
		{"permeability", s.given[permeability], 170},
		{"turns", s.given["turns"], 0},
		{"count", s.given["bead count"], 0},
	} {
		if !c.got.Known || !(math.Abs(c.got.Uncertainty-c.u) <= 1e-12*c.u) {
			t.Errorf("%s: %+v, want u = %v", c.name, c.got, c.u)
		}
	}
	if d := s.given[wire].Value; !(math.Abs(d-0.3249*0.0254) <= 2e-4*d) { // ASTM B258: AWG 0 is 0.3249 in
		t.Errorf("AWG 0 is %v m", d)
	}
	if len(s.Notices) != 1 || !strings.Contains(s.Notices[0], "coil.csv:3: the permeability has no ±") {
		t.Errorf("notices %q", s.Notices)
	}
	if s.given["winding length"].Known {
		t.Error("what the sheet doesn't say is known")
	}
}

// A value by meter is read alike in every way of writing its unit and its ±, with either decimal mark; a
// plain ± is in the unit of the value.
func TestMetersInAllForms(t *testing.T) {
	for _, c := range []struct {
		rows string
		u    float64
	}{
		{"inductance by meter,1.93,0.04,mH", 0.04e-3}, {"inductance by meter,1.93,4e-2,mH", 0.04e-3}, {"inductance by meter,1.93,2%,mH", 0.02 * 1.93e-3}, {"inductance by meter,1.93,40 µH,mH", 0.04e-3},
		{"inductance by meter,1.93 mH,40 µH,", 0.04e-3}, {"inductance by meter,1.93 mH,2 %,-", 0.02 * 1.93e-3}, {"inductance by meter,1.93mH,0.04mH,1", 0.04e-3}, {"Inductance_by_meter,1930,40,µH", 0.04e-3},
		{"inductance by meter;1,93;0,04;mH", 0.04e-3}, {"inductance by meter;1.93;0.04;mH", 0.04e-3}, {"inductance by meter;1,93 mH;0,04 mH;", 0.04e-3}, {"inductance by meter;1930;1,5 %;µH", 0.015 * 1.93e-3},
	} {
		head := "quantity,value,±,unit\n"
		if strings.Contains(c.rows, ";") {
			head = "quantity;value;±;unit\n"
		}
		s, err := Read(strings.NewReader(head+c.rows+"\n"), "coil.csv")
		if err != nil || len(s.Meter) != 1 || s.Meter[0].Name != quantities.Inductance {
			t.Errorf("%s: %v", c.rows, err)
			continue
		}
		near.Times(t, c.rows, s.Meter[0].Value, 1.93e-3, 1e-12)
		near.Times(t, c.rows+", ±", s.Meter[0].Uncertainty, c.u, 1e-12)
	}
	for rows, want := range map[string]string{
		"inductance by meter;1,93;0.04;mH":                                  `coil.csv:2:2 (column B, "value"): read "0.04", expected the same decimal mark as in line 2 ("1,93"); use one mark in the whole file`,
		"inductance by meter;1,9.3;1;mH":                                    `coil.csv:2:2 (column B, "value"): read "1,9.3", expected a number with one decimal mark; write the digits without marks between them`,
		"effective inductanc by meter;1;1;mH":                               `coil.csv:2:1 (column A, "quantity"): read "effective inductanc by meter", expected a quantity that a fit reports, such as inductance by meter; did you mean "effective inductance by meter"?`,
		"box width;2;;m\nbox diameter;2;;m\nbox top;1;;m\nbox bottom;-1;;m": `coil.csv:2: a box is round or square: take the row "box diameter" or "box width" away`,
	} {
		if s, err := Read(strings.NewReader("quantity;value;±;unit\n"+rows+"\n"), "coil.csv"); err == nil || err.Error() != want {
			t.Errorf("%s: %+v, %v\nwant %s", rows, s, err, want)
		}
	}
}

func TestUncertaintyForms(t *testing.T) {
	for text, want := range map[string]float64{
		"winding diameter,28.0,1e-1,mm":  0.1e-3,
		"winding diameter,28.0 mm,1 %,-": 0.28e-3,
		"winding diameter,28.0 mm,1 %,1": 0.28e-3,
		"winding diameter,28.0,0.1,mm":   0.1e-3,
		"winding diameter,28.0,1%,mm":    0.28e-3,
		"winding diameter,28.0,1 %,mm":   0.28e-3,
		"winding diameter,28.0,0.1mm,mm": 0.1e-3,
		"winding diameter,28.0 mm,0.1,":  0.1e-3,
		"winding diameter,2.8,1 mm,cm":   1e-3,
	} {
		s := mustRead(t, "quantity,value,±,unit\n"+text+"\n")
		if got := s.given["winding diameter"]; !(math.Abs(got.Value-28e-3) <= 1e-17) || !(math.Abs(got.Uncertainty-want) <= 1e-12*want) {
			t.Errorf("%s: %+v", text, got)
		}
	}
}

func TestChanges(t *testing.T) {
	s := mustRead(t, "quantity,value,±,unit\nball diameter,18.0,0.1,mm\nbead count,12,,\n")
	for word, check := range map[string]func(*Sheet) bool{
		"ball diameter=30mm": func(c *Sheet) bool {
			return c.given["ball diameter"].Value == 0.03 && c.given["ball diameter"].Uncertainty == 0
		},
		"Ball_Diameter=3cm±1mm": func(c *Sheet) bool {
			return c.given["ball diameter"].Value == 0.03 && c.given["ball diameter"].Uncertainty == 1e-3
		},
		"beads=20": func(c *Sheet) bool { return c.given["bead count"].Value == 20 },
		"bead spacing=3mm": func(c *Sheet) bool {
			return c.given["bead spacing"].Value == 3e-3 && c.given["ball diameter"] == s.given["ball diameter"]
		},
		"turns=630": func(c *Sheet) bool { return c.given["turns"].Value == 630 },
		// ASTM B258, from memory: 28 AWG is 0.3211 mm.
		"wire diameter=28AWG": func(c *Sheet) bool {
			return math.Abs(c.given[wire].Value-0.3211e-3) < 5e-8 && c.given[wire].Text == "28 AWG"
		},
		"height above ground=0mm": func(c *Sheet) bool {
			return c.given["height above ground"].Known && c.given["height above ground"].Value == 0
		},
	} {
		c, err := s.With(word)
		if err != nil || !check(c) || !IsChange(word) {
			t.Errorf("%s: %+v, %v", word, c, err)
		}
	}
	if s.given["ball diameter"].Value != 18e-3 || s.given["bead count"].Value != 12 || s.given["turns"].Known {
		t.Errorf("a change reached the sheet itself: %+v", s)
	}
	for word, says := range map[string]string{
		"bal diameter=30mm":     `did you mean "ball diameter"?`,
		"ball diameter=30":      "unit is missing",
		"ball diameter=-3mm":    "above 0",
		"beads=12.5":            "whole number",
		"wire diameter=28.3AWG": "a gauge from 0000 to 50",
		"ball diameter":         "quantity=value",
		"colour=red":            "a quantity of the coil sheet",
	} {
		if c, err := s.With(word); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %+v, %v\ndoesn't say %q", word, c, err, says)
		}
	}
	for _, word := range []string{"added=3.3pF", "core=rod", "hand=20cm", "ball diameter", "covered=60%"} {
		if IsChange(word) {
			t.Errorf("%s is taken for a change of the drawing", word)
		}
	}
}

func TestSweep(t *testing.T) {
	s := mustRead(t, "quantity,value,±,unit\nbead count,12,,\n")
	for _, word := range []string{"bead spacing=1mm..8mm", "bead spacing=1..8mm", "bead_spacing=0.1 cm .. 8 mm"} {
		w, err := ParseSweep(word)
		if err != nil || w.Name != "bead spacing" || w.From != 1e-3 || w.To != 8e-3 || w.Unit.Symbol != "mm" {
			t.Errorf("%s: %+v, %v", word, w, err)
			continue
		}
		if at := w.At(s, 2e-3); at.given["bead spacing"].Value != 2e-3 || at.given["bead spacing"].Text != "2 mm" || at.given["bead count"].Value != 12 || s.given["bead spacing"].Known {
			t.Errorf("%s at 2 mm: %+v", word, at)
		}
	}
	if w, err := ParseSweep("beads=4..12"); err != nil || w.At(s, 6.6).given["bead count"].Value != 7 {
		t.Errorf("%+v, %v", w, err)
	}
	for _, word := range []string{"bead spacing=1mm", "bead spacing=8mm..1mm", "bead spacing=-1mm..8mm", "bead spacing=1..8", "lamp=1..2", "bead spacing", "beads=1.5..3"} {
		if w, err := ParseSweep(word); err == nil {
			t.Errorf("%s was read as %+v", word, w)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"formats", "broken"} {
		files, _ := filepath.Glob("../../testdata/" + pattern + "/sheet/*.csv")
		for _, file := range files {
			content := must.Get(os.ReadFile(file)).In(f)
			f.Add(content)
		}
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		s, err := Read(bytes.NewReader(content), "coil.csv")
		if err != nil {
			var faults cells.Faults
			if !errors.As(err, &faults) || len(faults.List) == 0 {
				t.Errorf("not a list of faults: %v", err)
			}
			return
		}
		for _, e := range entries() {
			v := s.given[e.name]
			if v.Known && (math.IsNaN(v.Value) || math.IsInf(v.Value, 0) || !(v.Value >= e.least) || !(v.Uncertainty >= 0) || math.IsInf(v.Uncertainty, 0) || v.Line < 2) {
				t.Errorf("%s is %+v", e.name, v)
			}
		}
		for _, m := range s.Meter {
			if !(m.Value > 0 && m.Uncertainty > 0) || m.Name == "" || math.IsInf(m.Value+m.Uncertainty, 0) {
				t.Errorf("by meter: %+v", m)
			}
		}
		for name, p := range s.Parts {
			if name == "" || !(p.Capacitance > 0 && p.Uncertainty >= 0) || math.IsInf(p.Uncertainty, 0) {
				t.Errorf("part %q: %+v", name, p)
			}
		}
	})
}

// A word behind the tolerance of a part says whether its error is that of its lot, as in a log.
func TestShareOfAPartsTolerance(t *testing.T) {
	s := mustRead(t, "quantity,value,±,unit\npart 4.7 pF,4.7,5 % common,pF\npart 10 pF,10,0.2 own,pF\npart roof,2.8,5 %,pF\n")
	for name, want := range map[string]benchlog.PartValue{
		"4.7 pF": {Capacitance: 4.7e-12, Uncertainty: 0.05 * 4.7e-12 / 1.96, Share: benchlog.Common},
		"10 pF":  {Capacitance: 10e-12, Uncertainty: 0.2e-12 / 1.96, Share: benchlog.Own},
		"roof":   {Capacitance: 2.8e-12, Uncertainty: 0.05 * 2.8e-12 / 1.96, Share: benchlog.Unsaid},
	} {
		if got := s.Parts[name]; got.Share != want.Share || !(math.Abs(got.Capacitance/want.Capacitance-1) <= 1e-12) || !(math.Abs(got.Uncertainty/want.Uncertainty-1) <= 1e-12) {
			t.Errorf("part %s: %+v, want %+v", name, got, want)
		}
	}
}

// The least that each quantity may be: above zero, zero, above one, or anything. The table is written out again by hand.
func TestLeastOfEach(t *testing.T) {
	const any, zero, above, one = "-1 0 1 1.01", "0 1 1.01", "1 1.01", "1.01"
	least := map[string]string{}
	for allowed, names := range map[string]string{
		above: "turns winding_diameter winding_length wire_diameter wire ball_diameter hand_diameter bead_diameter bead_length bead_loss_tangent bead_loss_frequency former_outer_diameter coating_thickness top_voltage primary_turns primary_diameter primary_spacing primary_wire_diameter ring_diameter ring_thickness plate_diameter box_diameter box_width",
		zero:  "ball_gap height_above_ground height bead_spacing former_inner_diameter plate_hole",
		one:   "bead_permeability permeability former_permittivity coating_permittivity",
		any:   "bead_start primary_height ring_height plate_height box_bottom box_top",
	} {
		for _, name := range strings.Fields(names) {
			least[name] = allowed
		}
	}
	units := map[quantity.Dimension]string{quantity.Length: "mm", quantity.Voltage: "V", quantity.Frequency: "Hz"}
	s, seen := mustRead(t, "quantity,value,±,unit\ncore,rod,,\n"), map[string]bool{}
	for name, allowed := range least {
		e, ok := find(normal(name))
		seen[e.name] = true
		for _, value := range []string{"-1", "0", "1", "1.01"} {
			c, err := s.With(name + "=" + value + units[e.dimension])
			if may := slices.Contains(strings.Fields(allowed), value); !ok || may != (err == nil) {
				t.Errorf("%s = %s: %v", name, value, err)
			} else if may && c.given[e.name].Text != strings.TrimSpace(value+units[e.dimension]) {
				t.Errorf("%s = %s: %+v", name, value, c.given[e.name])
			}
		}
	}
	if e, _ := find("height"); e.name != "height above ground" {
		t.Errorf("height is %s", e.name)
	}
	if len(seen) != len(entries())-1 { // beads are whole: see TestChangesWordForWord
		t.Errorf("%d of %d quantities", len(seen), len(entries()))
	}
	if len(s.given) != 0 {
		t.Errorf("changes reach the sheet that was changed: %+v", s.given)
	}
}
