package figure

import (
	"math"
	"strings"
	"testing"

	"fitcoil/fit"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

func TestUncertaintyLaidOut(t *testing.T) {
	r := roundFit(t, "rod of ferrite, long, glued")
	sameLaid(t, "budget", Budget(r), `
		variance-budget: Where does the uncertainty of L and C come from?
		alt: Shares of the variance of effective inductance and capacitance: tolerance of fifteen 65 and 65 %; capacitance of clips and leads 35 and 35 %; 11 other sources < 0.5 and < 0.5 %.
		key: effective inductance, 1.000 ± 0.012 mH, c2 area
		key: effective capacitance, 5.000 ± 0.060 pF, c1 area
		panel 68
		x share of the variance [%]: 0…65.31 0 20 40 60
		y : -0.5…2.5 0=11 other sources 1=capacitance of clips and leads 2=tolerance of fifteen
		area c2 0,2.06 65.31,2.06 65.31,2.38 0,2.38
		area c1 0,1.68 65.27,1.68 65.27,2 0,2
		area c2 0,1.06 34.58,1.06 34.58,1.38 0,1.38
		area c1 0,0.68 34.52,0.68 34.52,1 0,1
		area c2 0,0.06 0.1113,0.06 0.1113,0.38 0,0.38
		area c1 0,-0.32 0.2051,-0.32 0.2051,0 0,0
		note: Core A: rod of ferrite, long, glued.
		table: variance from | of L [%] | of C [%]
		row: tolerance of fifteen | 65 | 65
		row: capacitance of clips and leads | 35 | 35
		row: 11 other sources | < 0.5 | < 0.5`)
	sameLaid(t, "priors", Priors(r), `
		priors: What did the readings add to what was believed?
		alt: 9 priors beside what the fit makes of them. Moved most: offset of the hand's law, from 7 cm (factor 2.7) to 4.5 cm (factor 2.0), by 0.4 of its standard uncertainties.
		key: believed, ± u, faint band
		key: known now, ± u, c2 disc line
		panel 143
		x standard uncertainties of the prior: -1.4…1.4 -1=−1.0 -0.5=−0.5 0=0.0 0.5 1=1.0
		y : -0.5…8.5 0=drift during the session 1=capacitance of clips and leads 2=exponent of the hand's law 3=offset of the hand's law 4=capacitance moved by core A 5=end effect of core A 6=capacitance of core A 7=fifteen 8=five
		area faint tint 0.3 -1,7.7 1,7.7 1,8.3 -1,8.3
		area faint tint 0.3 -1,6.7 1,6.7 1,7.3 -1,7.3
		area faint tint 0.3 -1,5.7 1,5.7 1,6.3 -1,6.3
		area faint tint 0.3 -1,4.7 1,4.7 1,5.3 -1,5.3
		area faint tint 0.3 -1,3.7 1,3.7 1,4.3 -1,4.3
		area faint tint 0.3 -1,2.7 1,2.7 1,3.3 -1,3.3
		area faint tint 0.3 -1,1.7 1,1.7 1,2.3 -1,2.3
		area faint tint 0.3 -1,0.7 1,0.7 1,1.3 -1,1.3
		area faint tint 0.3 -1,-0.3 1,-0.3 1,0.3 -1,0.3
		rule 0 upright
		line c2 bold -0.8573,8 0.8578,8
		line c2 bold -0.8578,7 0.8573,7
		line c2 bold -0.0076,6 0.0079,6
		line c2 bold -1,5 1,5
		line c2 bold -1,4 1,4
		line c2 bold -1.12,3 0.2505,3
		line c2 bold -0.326,2 1.139,2
		line c2 bold -0.7275,1 0.7281,1
		line c2 bold -0.5121,0 0.5551,0
		mark c2 disc 0.0002,8
		mark c2 disc -0.0002,7
		mark c2 disc 0.0002,6
		mark c2 disc 0,5
		mark c2 disc 0,4
		mark c2 disc -0.4349,3
		mark c2 disc 0.4066,2
		mark c2 disc 0.0003,1
		mark c2 disc 0.0215,0
		note: A short bar: the readings say more than the prior. A bar as wide as the grey one: the prior is all that is known.
		note: Core A: rod of ferrite, long, glued.
		table: prior | believed | known now | moved [own u] | u left [%]
		row: five | 5.000 ± 0.050 pF | 5.000 ± 0.043 pF | 0.0 | 86
		row: fifteen | 15.00 ± 0.15 pF | 15.00 ± 0.13 pF | 0.0 | 86
		row: capacitance of core rod of ferrite, long, glued, of the winding's | 0 ± 10 % | 0.002 ± 0.077 % | 0.0 | 1
		row: end effect of core rod of ferrite, long, glued, of the length | 0.12 (factor 2.0) | 0.12 (factor 2.0) | 0.0 | 100
		row: capacitance moved by core rod of ferrite, long, glued, of the winding's | 3.5 % (factor 2.2) | 3.5 % (factor 2.2) | 0.0 | 100
		row: offset of the hand's law | 7 cm (factor 2.7) | 4.5 cm (factor 2.0) | -0.4 | 69
		row: exponent of the hand's law | 2.40 ± 0.60 | 2.64 ± 0.44 | +0.4 | 73
		row: capacitance of clips and leads | 0.00 ± 0.10 pF | 0.000 ± 0.073 pF | 0.0 | 73
		row: drift during the session | 0 ± 500 ppm | 10 ± 270 ppm | 0.0 | 53`)
	pair := &quantities.Pair{Inductance: told("", "H", 1e-3, 10e-6), Capacitance: told("", "F", 5e-12, 50e-15), Correlation: -0.6, Degrees: math.Inf(1)}
	r.Pairs = estimation.Pairs{All: pair}
	sameLaid(t, "region", Region(r), `
		inductance-capacitance: How well are L and C known together?
		alt: Regions of effective inductance 1.000 ± 0.010 mH and effective capacitance 5.000 ± 0.050 pF.
		key: readings, with the parts' tolerances, c0 disc line
		panel 210
		x effective inductance [mH]: 0.9758…1.025 0.98 0.99 1=1.00 1.01 1.02
		y effective capacitance [pF]: 4.879…5.124 4.9=4.90 4.95 5=5.00 5.05 5.1=5.10
		line c0 thin 97 from 1.025,4.927 by 0.9758,5.074 to 1.025,4.927, mean 1,5
		line c0 bold 97 from 1.012,4.965 by 0.9883,5.035 to 1.012,4.965, mean 1,5
		mark c0 disc 1,5
		note: Bold: 50 %, thin: 95 % region of both together. Frequencies fix the product of L and C, so that the readings' region is a narrow strip.
		table: by | effective inductance | effective capacitance | correlation of ln L and ln C
		row: readings, with the parts' tolerances | 1.000 ± 0.010 mH | 5.000 ± 0.050 pF | -0.6000`)
	other := &quantities.Pair{Inductance: told("", "H", 1.1e-3, 20e-6), Capacitance: told("", "F", 4.5e-12, 50e-15), Degrees: math.Inf(1)}
	r.Pairs = estimation.Pairs{All: pair, Drawing: other}
	sameLaid(t, "with a drawing", Region(r), `
		inductance-capacitance: How well are L and C known together?
		alt: Regions of effective inductance 1.000 ± 0.010 mH and effective capacitance 5.000 ± 0.050 pF. The drawing alone says 1.100 ± 0.020 mH and 4.500 ± 0.050 pF.
		key: drawing alone, c1 square line
		key: both, c0 disc line
		panel 210
		x effective inductance [mH]: 0.9758…1.15 1=1.00 1.05 1.1=1.10 1.15
		y effective capacitance [pF]: 4.379…5.124 4.4 4.6 4.8 5=5.0
		line c1 /square thin 97 from 1.15,4.5 by 1.052,4.5 to 1.15,4.5, mean 1.101,4.501
		line c1 /square bold 97 from 1.124,4.5 by 1.077,4.5 to 1.124,4.5, mean 1.1,4.5
		line c0 thin 97 from 1.025,4.927 by 0.9758,5.074 to 1.025,4.927, mean 1,5
		line c0 bold 97 from 1.012,4.965 by 0.9883,5.035 to 1.012,4.965, mean 1,5
		mark c1 square 1.1,4.5
		mark c0 disc 1,5
		note: The drawing knows only the ball at the top: what stands around the coil adds to its capacitance.
		note: Not determined by the readings alone.
		note: Bold: 50 %, thin: 95 % region of both together. Frequencies fix the product of L and C, so that the readings' region is a narrow strip.
		table: by | effective inductance | effective capacitance | correlation of ln L and ln C
		row: drawing alone | 1.100 ± 0.020 mH | 4.500 ± 0.050 pF | 0.0000
		row: both | 1.000 ± 0.010 mH | 5.000 ± 0.050 pF | -0.6000`)
	r.Pairs = estimation.Pairs{}
	sameLaid(t, "no pair", Region(r), `
		inductance-capacitance: How well are L and C known together?
		alt: Effective inductance and capacitance are not determined by these readings. Their product is: 4999.9 ± 1.9 ns².
		panel
		empty: Effective inductance and capacitance are not determined by these readings. Their product is: 4999.9 ± 1.9 ns².
		x : 0…0
		y : 0…0`)
}

func TestOneByOneLaidOut(t *testing.T) {
	curve := func(e quantities.Estimate, at ...float64) estimation.Curve {
		c := estimation.Curve{Estimate: &e, Limit: 4}
		for i, rise := range []float64{4, 0, 4} {
			c.Linear = append(c.Linear, fit.CurvePoint{At: at[i], Rise: rise})
			c.Profile = append(c.Profile, fit.CurvePoint{At: at[i], Rise: 1.1 * rise})
		}
		return c
	}
	r := roundFit(t, "rod")
	l, c := *r.Find(quantities.Key{Name: quantities.EffectiveInductance}), *r.Find(quantities.Key{Name: quantities.EffectiveCapacitance})
	s := r.Surface([]*quantities.Estimate{&l, &c}, nil)
	correlation := s.Correlation(0, 1)
	l.Value, l.Uncertainty, l.Interval = 1e-3, 10e-6, [2]float64{0.98e-3, 1.02e-3}
	c.Value, c.Uncertainty, c.Interval = 5e-12, 50e-15, [2]float64{4.9e-12, 5.1e-12}
	s.Curves = []estimation.Curve{curve(l, 0.98e-3, 1e-3, 1.02e-3), curve(c, 4.9e-12, 5e-12, 5.1e-12)}
	s.Curves[1].Profile = s.Curves[1].Profile[:1]
	s.Regions = []estimation.Region{{First: 0, Second: 1, Linear: [][2]float64{{0.97e-3, 5.2e-12}, {1.03e-3, 5e-12}, {1e-3, 4.8e-12}}}}
	f := Profiles(r, s, []estimation.Profiled{{Estimate: &c, Profile: [2]float64{4.9e-12, 5.12e-12}}, {Estimate: &l, Profile: [2]float64{0.9805e-3, 1.0195e-3}}})
	if got := f.Panels[1].Texts[0].Text; got != "−0.99952" || math.Abs(correlation+0.99952) > 1e-5 {
		t.Errorf("correlation %v is written %q", correlation, got)
	}
	sameLaid(t, "profiles", f, `
		profiles: Do standard uncertainties and correlations tell enough?
		alt: Profiles of 2 quantities and regions of each pair, beside what standard uncertainties and correlations make of them. Linear intervals that differ by more than a tenth of the standard uncertainty: effective capacitance.
		2 across, 520 wide
		key: profile likelihood: all else fitted anew, c2 line
		key: standard uncertainties and correlations, c1 line dashed
		panel L [mH] 62
		x : 0.97…1.03 unshown 0.98 1=1.00 1.02
		y : 0…5.2 0 4=4.0
		rule 4
		line c2 0.98,4.4 1,0 1.02,4.4
		line c1 dashed 0.98,4 1,0 1.02,4
		panel 62 bare
		x : 0…1
		y : 0…1
		text 0.5,0.5 −0.99952
		panel 62
		x L [mH]: 0.97…1.03 0.98 1=1.00 1.02
		y C [pF]: 4.8…5.2 4.8 5=5.0 5.2
		line c1 dashed 0.97,5.2 1.03,5 1,4.8 0.97,5.2
		mark ink disc 1,5 small
		panel C [pF] 62
		x C [pF]: 4.8…5.2 4.8 5=5.0 5.2
		y : 0…5.2 unshown 0 4=4.0
		rule 4
		line c1 dashed 4.9,4 5,0 5.1,4
		note: On the diagonal: rise of χ²; the horizontal line is its value at the ends of a 95 % interval. Below: outlines of both quantities together, 95 %. Above: correlation coefficients.
		note: Where solid and dashed lines agree, the linear intervals hold. Both take the model as true, and tolerances and priors as normal.
		note: L: effective inductance; C: effective capacitance.
		note: Not found, and not drawn: 2 solid lines.
		table: 95 % interval | linear | profile
		row: effective inductance | 0.980 to 1.020 mH | 0.981 to 1.020 mH
		row: effective capacitance | 4.900 to 5.100 pF | 4.900 to 5.120 pF`)
}

// Letters for long names are explained in each figure, after what it says itself, and that some
// readings aren't shown.
func TestRemarksComeLast(t *testing.T) {
	r := roundFit(t, "rod of ferrite, long, glued")
	const core, part = "Core A: rod of ferrite, long, glued.", "Part A: fifteen picofarad, of mica."
	r.Session.Log.Parts[1].Name = "fifteen picofarad, of mica"
	r.Pairs.All = &quantities.Pair{Inductance: told("", "H", 1e-3, 10e-6), Capacitance: told("", "F", 5e-12, 50e-15), Degrees: math.Inf(1)}
	notes := map[string]string{}
	for _, f := range append(Set(r), Predictions(r, nil, r.Parts())) {
		var list []string
		for _, n := range f.Notes {
			switch n {
			case core + " " + part:
				list = append(list, "REMARK")
			default:
				list = append(list, strings.Fields(n)[0])
			}
		}
		notes[f.Name] = strings.Join(list, " ")
	}
	for name, want := range map[string]string{
		"frequency": "Thin: No REMARK", "inverse-square": "The REMARK", "inductance-capacitance": "Bold:", "variance-budget": "REMARK", "priors": "A REMARK",
		"hand": "Marks: REMARK", "residuals-added-capacitance": "Standardised: Not REMARK", "residuals-run-order": "Standardised: Not Bars: REMARK",
		"residuals-by-state": "Standardised: Not REMARK", "residuals-normal-quantiles": "", "correlations": "Correlation L: REMARK", "predictions": "",
	} {
		if notes[name] != want {
			t.Errorf("%s: notes %q, want %q", name, notes[name], want)
		}
		delete(notes, name)
	}
	if len(notes) > 0 {
		t.Errorf("and %v", notes)
	}
	short := look(r)
	if a, b := short.state(readings.State{Parts: []int{1}, Hand: math.Inf(1)}), short.state(readings.State{Parts: []int{0}, Core: "rod of ferrite, long, glued", To: 1, Hand: math.Inf(1)}); a != "part A" || b != "five, core A" {
		t.Errorf("%q and %q", a, b)
	}
	for len(r.Readings) < 4000 {
		r.Readings = append(r.Readings, r.Readings[1])
	}
	if v := look(r); v.left != 0 || len(v.readings) != 4000 {
		t.Errorf("of 4000 readings %d are left out", v.left)
	}
	for len(r.Readings) < 8001 { // each third of 8001 is shown, and the suspect one
		r.Readings = append(r.Readings, r.Readings[1])
	}
	r.Readings[4].Flagged, r.Readings[0].Flagged = true, false
	v := look(r)
	got := v.remarks()
	if want := "Shown are 2668 of 8001 readings, taken at equal steps, and all suspect ones."; len(got) != 2 || got[1] != want || v.readings[1].order != 4 || v.readings[2].order != 5 {
		t.Errorf("%q, then %d and %d", got, v.readings[1].order, v.readings[2].order)
	}
}
