package figure

import (
	"math"
	"slices"
	"strings"
	"testing"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// conditions makes a result of readings that have nothing but these.
func conditions(list ...readings.Condition) *model.Result {
	r := &model.Result{Result: &estimation.Result{}}
	for _, c := range list {
		r.Readings = append(r.Readings, estimation.ReadingResult{Reading: readings.Reading{State: readings.State{Core: c.Core, To: c.To, Hand: c.Hand}}})
	}
	return r
}

// Two names that differ only at their end stay two, and none is cut.
func TestLongNamesStayApart(t *testing.T) {
	third, fourth := "the long rod of ferrite, third try", "the long rod of ferrite, fourth try"
	away := math.Inf(1)
	e := newEncoding(conditions(readings.Condition{Hand: away}, readings.Condition{Core: third, To: 1, Hand: away},
		readings.Condition{Core: "A", To: 1, Hand: away}, readings.Condition{Core: fourth, To: 1, Hand: away}))
	if e.names[third] != "B" || e.names[fourth] != "C" || e.names["A"] != "A" {
		t.Errorf("names %q", e.names)
	}
	if notes := strings.Join(e.notes(), " "); notes != "Core B: "+third+". Core C: "+fourth+"." {
		t.Errorf("notes %q", notes)
	}
}

// Many cores and distances share colours and shapes, and the figure says which.
func TestManyConditionsShareLooks(t *testing.T) {
	var list []readings.Condition
	for _, core := range []string{"ash", "", "elm", "fir", "oak", "yew"} {
		list = append(list, readings.Condition{Core: core, To: 1, Hand: math.Inf(1)})
	}
	for i := range 9 {
		list = append(list, readings.Condition{Hand: 0.05 * float64(i+1)})
	}
	e := newEncoding(conditions(list...))
	colours, shapes := map[int]int{}, map[int]int{}
	for _, c := range list {
		colours[e.colour(c.Core)]++
		shapes[e.shape(c)]++
	}
	if len(colours) != mostCores || e.colour("") != 0 || e.colour("oak") != e.colour("yew") || e.colour("ash") == e.colour("elm") {
		t.Errorf("colours %v", colours)
	}
	if len(shapes) != 1+len(e.bins) || len(e.bins) != 1 || e.shape(list[6]) != e.shape(list[14]) || e.shape(list[6]) == 0 {
		t.Errorf("shapes %v of the distances %v", shapes, e.bins)
	}
	if notes := e.notes(); len(notes) != 1 || notes[0] != "Other cores: oak, yew." {
		t.Errorf("notes %q", notes)
	}
}

// What is done with a primary has a shape and a row of its own, and no say in 1/ω².
func TestPrimary(t *testing.T) {
	log := lighthouse(2e-4, []bench{{}, {parts: []float64{4.7}}, {parts: []float64{10}}, {}, {parts: []float64{4.7}}, {parts: []float64{10}}, {}})
	for i := 3; i < 6; i++ {
		log.Readings[i].Primary.Kind = readings.PrimaryShorted
		log.Readings[i].Frequency *= 1.015
	}
	r := solved(t, log)
	p := Frequency(r).Panels[0]
	if a, b := p.Points[1].Style, p.Points[4].Style; a == b || b != a.Shaped(mostBins+1) {
		t.Errorf("styles %d open and %d shorted", a, b)
	}
	if p := InverseSquare(r).Panels[0]; len(p.Lines) != 2 || len(p.Points) != 5 { // a curve and its tangent, four readings and −C
		t.Errorf("%d lines and %d marks", len(p.Lines), len(p.Points))
	}
	if p := ByState(r).Panels[0]; p.Title != "by primary" || len(p.Y.Ticks) != 2 {
		t.Errorf("the first panel is %q with the rows %v", p.Title, p.Y.Ticks)
	}
}

// A figure names the state with the largest residual, its parts included.
func TestAltNamesTheState(t *testing.T) {
	f := Residuals(suspicious(t))
	if want := "(line 9, 4.7 pF, core rod)"; !strings.Contains(f.Alt, want) {
		t.Errorf("description %q, want it to name %s", f.Alt, want)
	}
}

// With nothing added there is no axis of capacitance.
func TestNothingAdded(t *testing.T) {
	r := solved(t, lighthouse(2e-4, []bench{{}, {}, {covered: 1}, {covered: 1}, {}}))
	f := Frequency(r)
	if p := f.Panels[0]; len(p.Points) != 5 || p.X.Label != "frequency [MHz]" || p.Y.Ticks[1].Label != "bare" {
		t.Errorf("%d marks over %q beside %v", len(p.Points), p.X.Label, p.Y.Ticks)
	}
	near := readings.Bare()
	near.Hand = 0.1
	list := decisions.PredictAll(r.Result, []readings.State{readings.Bare(), near}, r.Parts())
	g := Predictions(r, list, r.Parts())
	if p := g.Panels[0]; p.X.Label != "frequency [MHz]" || !slices.ContainsFunc(p.Points, func(d chart.Point) bool { return d.Ring && d.Label == "1" && d.Y == p.Y.Ticks[len(p.Y.Ticks)-1].At }) {
		t.Errorf("prediction over %q: %+v", p.X.Label, p.Points)
	}
	for _, f := range []Figure{Residuals(r), InverseSquare(r)} {
		if !strings.HasPrefix(f.Panels[0].Empty, "Nothing was added") {
			t.Errorf("%s says %q", f.Name, f.Panels[0].Empty)
		}
	}
}

// On an axis of wide range readings keep apart that a plain one puts into its corner.
func TestWideRange(t *testing.T) {
	var states []bench
	for _, pF := range []float64{1, 2.2, 10, 100, 1000, 10000} {
		states = append(states, bench{parts: []float64{pF}})
	}
	f := Frequency(solved(t, lighthouse(2e-4, append(states, bench{}))))
	p := f.Panels[0]
	if !p.X.Log || !p.Y.Log || !(p.X.Shift > 1 && p.X.Shift < 10) {
		t.Fatalf("axes %+v, %+v", p.X, p.Y)
	}
	for i := 2; i < 6; i++ { // decades are even far above the shift
		a := math.Log(p.Points[i].X+p.X.Shift) - math.Log(p.Points[i-1].X+p.X.Shift)
		if !(a >= 0.5 && a <= math.Ln10*1.1) {
			t.Errorf("%g and %g pF lie %g apart", p.Points[i-1].X, p.Points[i].X, a)
		}
	}
}

// The tangent at the bare coil has the effective inductance as its slope and ends at minus
// the effective capacitance; it touches the curve of the readings there.
func TestTangent(t *testing.T) {
	r := suspicious(t)
	f := InverseSquare(r)
	pair, ok := r.Pair()
	var tangent chart.Line
	for _, l := range f.Panels[0].Lines {
		if l.Dashed {
			tangent = l
		}
	}
	if !ok || len(tangent.Points) != 2 {
		t.Fatalf("pair determined: %v, tangent %v", ok, tangent.Points)
	}
	a, b := tangent.Points[0], tangent.Points[1]
	if slope := (b.Y - a.Y) / (b.X - a.X); !near(slope, 1e3*pair.Inductance.Value) || !near(a.X, -1e12*pair.Capacitance.Value) || a.Y != 0 {
		t.Errorf("slope %g mH from %v", slope, a)
	}
	at := func(pF float64) float64 {
		s := readings.Bare()
		s.Exact = pF * 1e-12
		w := 2 * math.Pi * r.Frequency(s, nil).Value
		return 1e15 / (w * w)
	}
	const h = 1e-3 // pF
	if slope := (at(h) - at(0)) / h; !(math.Abs(slope/(1e3*pair.Inductance.Value)-1) <= 1e-3) {
		t.Errorf("the curve rises by %g mH, the tangent by %g", slope, 1e3*pair.Inductance.Value)
	}
}

// The marks of the hand's figure are what a hand does to the fitted frequency, reading by
// reading, within its curve's band or near it.
func TestHandFigure(t *testing.T) {
	r := solved(t, lighthouse(2e-4, night()))
	f := Hand(r)
	p := f.Panels[0]
	if !p.X.Log || !p.Y.Log || len(p.Points) != 6 || len(p.Lines) != 3 {
		t.Fatalf("%d marks, %d curves, axes %v and %v", len(p.Points), len(p.Lines), p.X.Log, p.Y.Log)
	}
	bare := r.Find(quantities.Key{Name: quantities.BareFrequency}).Value
	for i, line := range map[int]int{0: 14, 1: 15, 2: 16, 3: 17} { // hands at 50, 20, 10 and 5 cm
		o := r.Readings[line-2]
		if got := 1e3 * p.Points[i].Y; o.Line != line || !(math.Abs(got-(bare-o.Frequency)) <= 5e-5*bare) {
			t.Errorf("line %d: a drop of %g Hz, want %g", line, got, bare-o.Frequency)
		}
	}
	if Hand(solved(t, lighthouse(2e-4, night()[:6]))) != nil {
		t.Error("a figure of a hand that nobody read")
	}
}

// The bars of the budget add up to the whole variance of each.
func TestBudgetAddsUp(t *testing.T) {
	f := Budget(suspicious(t))
	sum := map[chart.Style]float64{}
	for _, a := range f.Panels[0].Areas {
		sum[a.Style] += a.Outline[1].X
	}
	if len(sum) != 2 {
		t.Fatalf("%d kinds of bars", len(sum))
	}
	for style, s := range sum {
		if !(math.Abs(s-100) <= 1e-6) {
			t.Errorf("bars of style %d add up to %g %%", style, s)
		}
	}
}

// Hands share what shapes cores and primaries leave: three at most, and one at least.
func TestShapesOfHands(t *testing.T) {
	for _, c := range []struct{ cores, primaries, hands, want int }{{1, 0, 9, 3}, {2, 0, 9, 3}, {4, 0, 9, 2}, {5, 0, 9, 1}, {6, 0, 9, 1}, {2, 2, 9, 2}, {3, 2, 9, 1}, {1, 3, 2, 2}, {3, 3, 1, 1}, {1, 0, 0, 0}} {
		var list []readings.Condition
		for i := range c.cores {
			list = append(list, readings.Condition{Core: []string{"", "a", "b", "c", "d", "e"}[i], Hand: math.Inf(1)})
		}
		for i := range c.primaries {
			list = append(list, readings.Condition{Hand: math.Inf(1), Primary: readings.Primary{Kind: readings.PrimaryTuned, Capacitance: float64(i+1) * 1e-9}})
		}
		for i := range c.hands {
			list = append(list, readings.Condition{Hand: 0.1 * float64(i+1)})
		}
		e := newEncoding(&model.Result{Result: &estimation.Result{}}, list...)
		n := 0
		for _, bin := range e.bins {
			n += len(bin)
		}
		if len(e.bins) != c.want || n != c.hands || len(e.prims) != c.primaries || len(e.cores) != c.cores {
			t.Errorf("%+v: %v, %v, %v", c, e.bins, e.prims, e.cores)
		}
	}
}

// Cores that share the last colour have one key together.
func TestKeyOfOtherCores(t *testing.T) {
	var list []readings.Condition
	for _, core := range []string{"", "ash", "elm", "fir", "oak", "yew"} {
		list = append(list, readings.Condition{Core: core, To: 1, Hand: math.Inf(1)})
	}
	r := conditions(list...)
	v := view{encoding: newEncoding(r)}
	for i := range r.Readings {
		v.readings = append(v.readings, reading{ReadingResult: &r.Readings[i]})
	}
	var texts []string
	for _, k := range v.encoding.keys(v.readings) {
		texts = append(texts, look5(k.Style, true)+" "+k.Text)
	}
	if got := strings.Join(texts, ", "); got != "c0 disc no core, c1 disc core ash, c2 disc core elm, c3 disc core fir, c4 disc other cores" {
		t.Error(got)
	}
}

// Fifteen conditions with nothing added stand in fourteen rows.
func TestManyConditionsAlone(t *testing.T) {
	for n, want := range map[int]int{13: 14, 14: 14, 20: 14} {
		states := []bench{{}}
		for i := range n {
			states = append(states, bench{hand: 0.05 + 0.02*float64(i)})
		}
		if p := Frequency(solved(t, lighthouse(2e-4, states))).Panels[0]; len(p.Y.Ticks) != want || len(p.Points) != n+1 {
			t.Errorf("%d hands: %d rows with %d marks", n, len(p.Y.Ticks), len(p.Points))
		}
	}
}
