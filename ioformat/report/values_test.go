package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fitcoil/ioformat/benchlog"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/drawing"
	"fitcoil/model/readings"
)

// marks makes results of which each number is unlike all others, so that a number in an
// output tells by itself where it comes from.
type marks struct {
	of    map[float64]string // number → field, as in Readings[1].Leverage
	count int
}

// counted are the fields of whole numbers that outputs show; others are indexes and kinds.
var counted = []string{"Line", "Last", "Count", "Readings", "DegreesOfFreedom", "Pairs", "Tested", "Captures", "Segment", "Harmonic"}

// fill gives v, and all that hangs on it, numbers of its own. What may be absent is there:
// lists have two elements, all that can be told is true.
func (m *marks) fill(v reflect.Value, path string) {
	switch v.Kind() {
	case reflect.Float64:
		m.count++
		v.SetFloat(1 + float64(m.count)/4096)
		m.of[v.Float()] = path
	case reflect.Int:
		if v.Type() == reflect.TypeFor[int]() && slices.Contains(counted, path[strings.LastIndex(path, ".")+1:]) {
			m.count++
			v.SetInt(int64(1000 + m.count))
			m.of[float64(v.Int())] = path
		}
	case reflect.Bool:
		v.SetBool(true)
	case reflect.String:
		v.SetString("x")
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		m.fill(v.Elem(), path)
	case reflect.Slice:
		if v.Type().Elem().Kind() == reflect.Int { // indexes
			return
		}
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		fallthrough
	case reflect.Array:
		for i := range v.Len() {
			m.fill(v.Index(i), fmt.Sprintf("%s[%d]", path, i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			switch f := v.Type().Field(i); {
			case !f.IsExported():
			case f.Anonymous:
				m.fill(v.Field(i), path)
			default:
				m.fill(v.Field(i), strings.TrimPrefix(path+"."+f.Name, "."))
			}
		}
	}
}

// estimateFields tells what each number of an estimate in JSON comes from.
var estimateFields = [][2]string{
	{"value", "Value"}, {"standard_uncertainty", "Uncertainty"}, {"stated_uncertainty", "Stated"},
	{"interval_95[0]", "Interval[0]"}, {"interval_95[1]", "Interval[1]"}, {"hand", "Hand"}, {"covered[0]", "Covered[0]"}, {"covered[1]", "Covered[1]"},
	{"linear_interval_95[0]", "Linear[0]"}, {"linear_interval_95[1]", "Linear[1]"},
	{"degrees_of_freedom", "Degrees"}, {"coverage_factor", "Coverage"},
}

// budgetFields does of an estimate with its variance's shares.
var budgetFields = append(slices.Clone(estimateFields), [][2]string{
	{"variance_shares.readings", "Budget.Readings"}, {"variance_shares.tolerance", "Budget.Tolerance"},
	{"variance_shares.tolerance_in_common", "Budget.Common"}, {"variance_shares.known", "Budget.Known"},
	{"variance_shares.assumed", "Budget.Assumed"}, {"variance_shares.model", "Budget.Model"},
}...)

// ringFields of what was found in a capture.
var ringFields = [][2]string{{"value", "Value"}, {"standard_uncertainty", "Uncertainty"},
	{"interval_95[0]", "Interval[0]"}, {"interval_95[1]", "Interval[1]"}}

var frequencyFields = append(slices.Clone(budgetFields), [2]string{"prediction_interval_95[0]", "../NewReading[0]"},
	[2]string{"prediction_interval_95[1]", "../NewReading[1]"})

var repeatsFields = [][2]string{
	{"count", "Count"}, {"last_line", "Last"}, {"standard_deviation", "Deviation"}, {"mean_uncertainty_factor", "Slow"},
	{"lowest.line", "Lowest.Line"}, {"lowest.frequency", "Lowest.Frequency"},
	{"highest.line", "Highest.Line"}, {"highest.frequency", "Highest.Frequency"},
}

var qualityFields = [][2]string{
	{"readings", "Readings"}, {"degrees_of_freedom", "DegreesOfFreedom"}, {"chi_square", "ChiSquare"},
	{"p_value", "PValue"}, {"scale_factor", "Scale"}, {"tolerance_factor", "PartScale"}, {"aicc", "AICc"},
}

var scatterFields = [][2]string{
	{"ratio", "Ratio"}, {"relative_standard_deviation", "Relative"}, {"degrees_of_freedom", "Degrees"}, {"lack_of_fit_p_value", "PValue"},
}

var stateFields = [][2]string{
	{"added_exact", "Exact"}, {"covered[0]", "From"}, {"covered[1]", "To"}, {"hand", "Hand"},
}

// told is the contract of numbers: what each comes from.
type told [][2]string

// with adds the fields of an object at a place in JSON that comes from a field.
func (c told) with(place, from string, fields [][2]string) told {
	for _, f := range fields {
		source := from + "." + f[1]
		if rest, ok := strings.CutPrefix(f[1], "../"); ok { // of what holds the field
			source = from[:strings.LastIndex(from, ".")+1] + rest
		}
		c = append(c, [2]string{place + "." + f[0], strings.TrimPrefix(source, ".")})
	}
	return c
}

// estimates adds several estimates: place and source of each.
func (c told) estimates(fields [][2]string, pairs ...string) told {
	for i := 0; i < len(pairs); i += 2 {
		c = c.with(pairs[i], pairs[i+1], fields)
	}
	return c
}

func prefixed(place, from string, c told) (out told) {
	for _, f := range c {
		out = append(out, [2]string{place + f[0], from + f[1]})
	}
	return out
}

// reading is a line of the readings' table of fit.
var readingTold = told{
	{"line", "Line"}, {"frequency", "Frequency"}, {"standard_uncertainty", "Uncertainty"}, {"fitted", "Fitted"},
	{"residual", "Residual"}, {"standardised_residual", "Standardised"}, {"leverage", "Leverage"}, {"cooks_distance", "Cook"},
}.with("repeats", "Repeats", repeatsFields).estimates(estimateFields,
	"without.inductance", "Without.Inductance", "without.effective_inductance", "Without.Effective",
	"without.effective_capacitance", "Without.Capacitance")

var predictionTold = told{}.with("state", "State", stateFields).with("frequency", "Frequency", frequencyFields).
	estimates(budgetFields, "effects[i]", "Effects[i]", "effects[i].ratio_to_bare", "Effects[i].Ratio")

func suggestionTold(place, from string) told {
	return prefixed(place, from, told{{"new_capacitor[0]", "New[0]"}, {"new_capacitor[1]", "New[1]"}}.
		with("state", "State", stateFields).estimates(budgetFields, "before", "Before", "after", "After"))
}

// checkNumbers compares the numbers of a document with where they should come from: each is
// told, and all that is told is there.
func checkNumbers(t *testing.T, name string, m marks, write func(w io.Writer) error, want told) {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	var document any
	if err := json.Unmarshal(b.Bytes(), &document); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	want = append(want, [2]string{"schema", "2"})
	rules, seen := make([]rule, len(want)), map[int]bool{}
	for i, c := range want {
		rules[i] = newRule(c)
	}
	var walk func(place string, v any)
	walk = func(place string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for k, e := range v {
				if k == "carried" { // package earlier reads it back
					continue
				}
				walk(strings.TrimPrefix(place+"."+k, "."), e)
			}
		case []any:
			for i, e := range v {
				walk(fmt.Sprintf("%s[%d]", place, i), e)
			}
		case float64:
			for i := range rules {
				from, ok := rules[i].source(place)
				if !ok {
					continue
				}
				seen[i] = true
				if got := m.of[v]; got != from && fmt.Sprint(v) != from {
					t.Errorf("%s: %s is %v, of %q, and should be of %q", name, place, v, got, from)
				}
				return
			}
			t.Errorf("%s: nothing tells where %s comes from; it is of %q", name, place, m.of[v])
		}
	}
	walk("", document)
	for i, c := range want {
		if !seen[i] {
			t.Errorf("%s: there is no %s, of %s", name, c[0], c[1])
		}
	}
}

// rule is a line of the contract: the places it speaks of, with [i] and [j] for any index,
// and what stands there.
type rule struct {
	place *regexp.Regexp
	from  string
}

func newRule(c [2]string) rule {
	pattern := regexp.QuoteMeta(c[0])
	for _, index := range []string{"i", "j"} {
		pattern = strings.Replace(pattern, `\[`+index+`\]`, `\[(?P<`+index+`>\d+)\]`, 1)
	}
	return rule{regexp.MustCompile("^" + pattern + "$"), c[1]}
}

// source returns what the number at a place should come from.
func (r rule) source(place string) (from string, ok bool) {
	found := r.place.FindStringSubmatch(place)
	if found == nil {
		return "", false
	}
	from = r.from
	for k, index := range r.place.SubexpNames() {
		if index != "" {
			from = strings.ReplaceAll(from, "["+index+"]", "["+found[k]+"]")
		}
	}
	return from, true
}

// filled returns a T whose numbers are all its own.
func filled[T any]() (*T, marks) {
	v, m := new(T), marks{of: map[float64]string{}}
	m.fill(reflect.ValueOf(v).Elem(), "")
	return v, m
}

// So it is with the other verbs (fit: TestFitJSONNumbers).
func TestPredictJSONNumbers(t *testing.T) {
	p, m := filled[Predictions]()
	p.Volts = 0 // see TestVoltagesJSON
	several := prefixed("predictions[j].", "List[j].", predictionTold)
	checkNumbers(t, "predict", m, func(w io.Writer) error { return PredictJSON(w, nil, *p, Source{}) }, several)
	p.List = p.List[:1]
	single := append(prefixed("predictions[j].", "List[j].", predictionTold), prefixed("", "List[0].", predictionTold)...)
	checkNumbers(t, "predict of one", m, func(w io.Writer) error { return PredictJSON(w, nil, *p, Source{}) }, single)
}

func TestReachJSONNumbers(t *testing.T) {
	type answer struct{ Reach decisions.Reached }
	a, m := filled[answer]()
	want := append(told{{"target", "Reach.Target"}, {"standard_values[j].capacitance", "Reach.Values[j].Capacitance"}}.
		with("setting", "Reach.Setting", budgetFields).
		with("standard_values[j].frequency", "Reach.Standard[j].Frequency", frequencyFields),
		prefixed("at.", "Reach.At.", predictionTold)...)
	checkNumbers(t, "reach", m, func(w io.Writer) error { return ReachJSON(w, nil, a.Reach, nil, Source{}) }, want)
	a.Reach.Reachable = false
	want = append(want, [2]string{"closest_setting", "Reach.Closest"})
	checkNumbers(t, "out of reach", m, func(w io.Writer) error { return ReachJSON(w, nil, a.Reach, nil, Source{}) }, want)
}

func TestNextJSONNumbers(t *testing.T) {
	p, m := filled[decisions.Planned]()
	for _, list := range [][]decisions.Suggestion{p.Ranked, p.Greedy, p.Better} {
		for i := range list {
			list[i].Kind = decisions.ReadNew
			m.of[list[i].Relative/benchlog.BoundToStandard] = m.of[list[i].Relative] + " as a bound of 95 %"
		}
	}
	want := told{}.with("now", "Now", budgetFields)
	for place, from := range map[string]string{"candidates[i]": "Ranked[i]", "plan[i]": "Greedy[i]", "exchanged_plan[i]": "Better[i]"} {
		want = append(want, suggestionTold(place+".", from+".")...)
		want = append(want, [2]string{place + ".tolerance", from + ".Relative as a bound of 95 %"})
	}
	checkNumbers(t, "next", m, func(w io.Writer) error { return NextJSON(w, nil, *p, nil, Source{}) }, want)
}

func TestCompareJSONNumbers(t *testing.T) {
	c, m := filled[decisions.Comparison]()
	want := told{{"tested", "Tested"}, {"changes[i].sigmas", "Changes[i].Sigmas"}, {"changes[i].p_value", "Changes[i].Chance"}}.
		estimates(budgetFields, "changes[i].a", "Changes[i].A", "changes[i].b", "Changes[i].B").
		estimates(estimateFields, "changes[i].difference", "Changes[i].Difference")
	checkNumbers(t, "compare", m, func(w io.Writer) error { return CompareJSON(w, *c, [2]*model.Result{}, Source{}, Source{}) }, want)
}

func TestCheckJSONNumbers(t *testing.T) {
	l, m := filled[readings.Log]()
	want := told{{"readings[i].line", "Readings[i].Line"}, {"readings[i].frequency", "Readings[i].Frequency"},
		{"readings[i].standard_uncertainty", "Readings[i].Uncertainty"},
		{"parts[i].capacitance", "Parts[i].Capacitance"}, {"parts[i].standard_uncertainty", "Parts[i].Uncertainty"}}.
		with("readings[i]", "Readings[i]", stateFields).with("readings[i].repeats", "Readings[i].Repeats", repeatsFields)
	checkNumbers(t, "check", m, func(w io.Writer) error { return CheckJSON(w, *l, Source{}) }, want)
}

func TestCoilJSONNumbers(t *testing.T) {
	type sketch struct {
		Drawn drawing.Drawn
		Cross drawing.CrossCheck
	}
	d, m := filled[sketch]()
	want := told{{"cross_check.length_over_diameter", "Cross.Shape"}}.
		estimates(estimateFields, "estimates[i]", "Drawn.Estimates[i]", "cross_check.drawn", "Cross.Drawn", "cross_check.medhurst", "Cross.Measured")
	checkNumbers(t, "coil", m, func(w io.Writer) error { return CoilJSON(w, &d.Drawn, &d.Cross, 0, Source{}) }, want)
}

func TestSweepJSONNumbers(t *testing.T) {
	s, m := filled[Sweep]()
	want := told{{"points[i].value", "Values[i]"}, {"points[i].core_gain", "Points[i].Gain"}}.
		estimates(estimateFields, "points[i].frequency", "Points[i].Frequency")
	checkNumbers(t, "sweep", m, func(w io.Writer) error { return SweepJSON(w, nil, *s, Source{}) }, want)
}

func TestCaptureJSONNumbers(t *testing.T) {
	type found struct {
		Captured []Captured
		Swept    []Swept
	}
	f, m := filled[found]()
	for i, c := range f.Captured { // an uncertainty is claimed, and each number of samples and of readings is one of its own
		for _, e := range estimatesIn(reflect.ValueOf(c.Result)) {
			e.SetBool(false)
		}
		f.Captured[i].Capture.Signal.Samples = make([]float64, 50+i)
		m.of[float64(50+i)] = fmt.Sprintf("Captured[%d]'s samples", i)
		f.Captured[i].Result.QualityAtLeast = math.Abs(f.Captured[i].Result.QualityAtLeast)
	}
	for i, s := range f.Swept {
		for _, e := range estimatesIn(reflect.ValueOf(s.Result)) {
			e.SetBool(false)
		}
		f.Swept[i].Result.Points = f.Swept[i].Result.Points[:1]
		f.Swept[i].Result.Points = slices.Repeat(f.Swept[i].Result.Points, 60+i)
		m.of[float64(60+i)] = fmt.Sprintf("Swept[%d]'s readings", i)
	}
	of := "Captured[i].Result."
	want := told{{"captures[i].samples", "Captured[i]'s samples"}, {"captures[i].segment", "Captured[i].Capture.Segment"},
		{"captures[i].interval", "Captured[i].Capture.Signal.Interval"}, {"captures[i].quality_factor_at_least", of + "QualityAtLeast"},
		{"captures[i].noise_rms", of + "Noise.RMS"}, {"captures[i].used_share", of + "Used"},
		{"captures[i].tones[j].harmonic", of + "Tones[j].Harmonic"},
		{"captures[i].bursts[j].start", of + "Bursts[j].Start"}, {"captures[i].bursts[j].end", of + "Bursts[j].End"},
		{"captures[i].bursts[j].cycles", of + "Bursts[j].Cycles"},
		{"captures[i].left_out[j].start", of + "Left[j].Start"}, {"captures[i].left_out[j].end", of + "Left[j].End"},
		{"captures[i].modes_covariance.matrix[j][0]", of + "Covariance[j][0]"}, {"captures[i].modes_covariance.matrix[j][1]", of + "Covariance[j][1]"},
		{"sweeps[i].readings", "Swept[i]'s readings"}, {"sweeps[i].captures", "Swept[i].Captures"},
		{"sweeps[i].scatter", "Swept[i].Result.Scatter"}, {"sweeps[i].degrees_of_freedom", "Swept[i].Result.Degrees"}}.
		estimates(ringFields, "captures[i].resonance_frequency", of+"Resonance", "captures[i].crossing_frequency", of+"Frequency",
			"captures[i].quality_factor", of+"Quality", "captures[i].damping", of+"Damping", "captures[i].amplitude", of+"Amplitude",
			"captures[i].offset", of+"Offset",
			"captures[i].modes[j].frequency", of+"Modes[j].Natural", "captures[i].modes[j].quality_factor", of+"Modes[j].Quality",
			"captures[i].modes[j].amplitude", of+"Modes[j].Amplitude",
			"captures[i].tones[j].frequency", of+"Tones[j].Frequency", "captures[i].tones[j].quality_factor", of+"Tones[j].Quality",
			"captures[i].tones[j].amplitude", of+"Tones[j].Amplitude",
			"captures[i].bursts[j].frequency", of+"Bursts[j].Tone.Natural", "captures[i].bursts[j].quality_factor", of+"Bursts[j].Tone.Quality",
			"sweeps[i].quantities[0]", "Swept[i].Result.Resonance", "sweeps[i].quantities[1]", "Swept[i].Result.Quality",
			"sweeps[i].quantities[2]", "Swept[i].Result.Peak", "sweeps[i].quantities[3]", "Swept[i].Result.Direct")
	checkNumbers(t, "capture", m, func(w io.Writer) error { return CaptureJSON(w, f.Captured, f.Swept) }, want)
}

// estimatesIn returns the fields of v, and of all that hangs on it, that tell that an
// estimate has no uncertainty.
func estimatesIn(v reflect.Value) (fields []reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		return estimatesIn(v.Elem())
	case reflect.Slice:
		for i := range v.Len() {
			fields = append(fields, estimatesIn(v.Index(i))...)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			switch f := v.Type().Field(i); {
			case !f.IsExported():
			case f.Name == "Unclaimed":
				fields = append(fields, v.Field(i))
			default:
				fields = append(fields, estimatesIn(v.Field(i))...)
			}
		}
	}
	return fields
}
