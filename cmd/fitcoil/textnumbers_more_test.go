package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"fitcoil/internal/must"
)

// toldSI reads a number with its unit, and half of its last digit: 0.10 pF, -1.1e-4 mH/pF, 20.0 %,
// 0.81 fF·m^p, ln: 0.7.
func toldSI(text string) (value, half float64, ok bool) {
	text = strings.TrimPrefix(text, "ln: ")
	number, unit, _ := strings.Cut(text, " ")
	v, err := strconv.ParseFloat(strings.TrimPrefix(number, "+"), 64)
	if err != nil {
		return 0, 0, false
	}
	digits, power, _ := strings.Cut(number, "e")
	exponent, _ := strconv.Atoi(power)
	if _, behind, point := strings.Cut(digits, "."); point {
		exponent -= len(behind)
	}
	of, per, _ := strings.Cut(unit, "/")
	scale, known := unitsOfText[strings.TrimSpace(of)]
	under, below := unitsOfText[per]
	if whole, ok := unitsOfText[unit]; ok { // kV/cm
		scale, known, under, below = whole, true, 1, true
	}
	return v * scale / under, 0.5 * math.Pow10(exponent) * scale / under, known && below
}

// cellsTell wants the cells of a row to be the values, one after another, rounded.
func cellsTell(t *testing.T, what string, cells []string, values ...float64) {
	t.Helper()
	if len(cells) != len(values) {
		t.Errorf("%s: %d cells, want %d: %q", what, len(cells), len(values), cells)
		return
	}
	for i, c := range cells {
		v, half, ok := toldSI(c)
		if c == "< 0.1 %" {
			v, half, ok = 5e-4, 5e-4, true
		}
		if !ok || !(math.Abs(v-values[i]) <= 1.01*half) {
			t.Errorf("%s: %q, want %v", what, c, values[i])
		}
	}
}

// Each input of a budget: value, uncertainty, sensitivity, contribution and share.
func TestTextOfBudget(t *testing.T) {
	inDemo(t)
	type budget struct {
		Quantity told
		Inputs   []struct {
			Name                                    string
			Line                                    int
			Value, Sensitivity, Contribution, Share float64
			Uncertainty                             float64 `json:"standard_uncertainty"`
		} `json:"input_quantities"`
	}
	for _, goal := range []string{"L", "C", "core_gain:rod"} {
		text, b := both[budget](t, "budget lighthouse.csv --full --for "+goal)
		expectLine(t, text, "y = ", b.Quantity.numbers()...)
		_, table, _ := strings.Cut(text, "share\n")
		var rows [][]string // of the cells behind the name, which may run on in further lines
		for _, line := range strings.Split(table, "\n") {
			if cells := gaps.Split(strings.TrimSpace(line), -1); len(cells) == 6 {
				rows = append(rows, cells[1:])
			}
		}
		if len(rows) != len(b.Inputs) {
			t.Errorf("%s: %d inputs in text, %d in JSON", goal, len(rows), len(b.Inputs))
			continue
		}
		for i, in := range b.Inputs {
			cellsTell(t, goal+", "+in.Name, rows[i], in.Value, in.Uncertainty, in.Sensitivity, in.Contribution, in.Share)
		}
	}
}

// What several sessions say together: value, uncertainty, standard deviation between them, and
// each session's deviation.
func TestTextOfConsensus(t *testing.T) {
	inDemo(t)
	type consensus struct {
		Quantities []struct {
			Consensus told
			Between   float64  `json:"between_sessions"`
			PValue    *float64 `json:"p_value"`
			Differs   bool
			Sessions  []*struct{ Sigmas *float64 }
		}
	}
	text, c := both[consensus](t, "fit lighthouse.csv lighthouse-whole.csv rebuilt.csv --full")
	differ, tested := 0, 0
	for i := range c.Quantities {
		q := &c.Quantities[i]
		_, label := labelOf(&q.Consensus)
		word := "  " + strings.Fields(label)[0]
		if strings.HasPrefix(q.Consensus.Name, "hand_") {
			word = "  hand"
		}
		if q.PValue == nil { // of one session
			expectLine(t, text, word, *q.Consensus.Value, *q.Consensus.Uncertainty)
			continue
		}
		tested++
		if q.Consensus.Name == "hand_strength" {
			continue // its unit has an exponent that is fitted
		}
		expectLine(t, text, word, *q.Consensus.Value, *q.Consensus.Uncertainty, q.Between)
		for _, s := range q.Sessions {
			if s != nil {
				expectLine(t, text, word, *s.Sigmas)
			}
		}
		if q.Differs {
			differ++
		}
	}
	if want := fmt.Sprintf("\n%d of %d quantities differ between sessions", differ, tested); tested == len(c.Quantities) || differ == 0 || !strings.Contains(text, want) {
		t.Errorf("not told: %q", want)
	}
}

// Intervals beside the linear ones, by profile and by Monte Carlo, and how many differ.
func TestTextOfOtherIntervals(t *testing.T) {
	inDemo(t)
	type other struct {
		toldFit
		MonteCarlo struct {
			Trials, Seed int
			Quantities   []struct {
				Name      string
				Deviation float64    `json:"standard_uncertainty"`
				Shortest  [2]float64 `json:"shortest_interval_95"`
				Symmetric [2]float64 `json:"symmetric_interval_95"`
				Tolerance float64    `json:"numerical_tolerance"`
				Low       float64    `json:"low_end_differs_by"`
				High      float64    `json:"high_end_differs_by"`
				Validated bool
			}
		} `json:"monte_carlo"`
		Profiles []struct {
			Name     string
			Interval [2]float64 `json:"interval_95"`
			Differs  bool
		}
	}
	text, f := both[other](t, "fit lighthouse-whole.csv --monte-carlo 1000 --seed 7 --profile --full")
	_, text, _ = strings.Cut(text, "95 % intervals by profile likelihood")
	profiles, trials, _ := strings.Cut(text, "Monte Carlo")
	find := func(key string) *told {
		name, of, _ := strings.Cut(key, ":")
		for _, list := range [][]told{f.Parameters, f.Derived} {
			for i, e := range list {
				if e.Name == name && (of == "" || of == e.Core+e.Part || e.Hand > 0 && of == strconv.FormatFloat(e.Hand, 'g', -1, 64)) {
					return &list[i]
				}
			}
		}
		t.Fatalf("there is no %s", key)
		return nil
	}
	differ, quoted := 0, 0
	for _, p := range f.Profiles {
		e := find(p.Name)
		if e.Linear != nil {
			if quoted++; *e.Interval != p.Interval {
				t.Errorf("%s: %v told, %v by profile", p.Name, *e.Interval, p.Interval)
			}
			e.Interval = e.Linear
		}
		expectLine(t, profiles, "", e.Interval[0], e.Interval[1], p.Interval[0], p.Interval[1], *e.Uncertainty)
		far := math.Max(math.Abs(p.Interval[0]-e.Interval[0]), math.Abs(p.Interval[1]-e.Interval[1])) > 0.1**e.Uncertainty
		if far != p.Differs {
			t.Errorf("%s: differs is %v, by profile %v, linear %v ± %v", p.Name, p.Differs, p.Interval, *e.Interval, *e.Uncertainty)
		}
		if far {
			differ++
		}
	}
	if want := fmt.Sprintf("%d of %d linear intervals differ", differ, len(f.Profiles)); differ == 0 || quoted != differ || !strings.Contains(profiles, want) {
		t.Errorf("not told: %q", want)
	}
	differ = 0
	for _, q := range f.MonteCarlo.Quantities {
		e := find(q.Name)
		expectLine(t, trials, "", e.Interval[0], e.Interval[1], q.Shortest[0], q.Shortest[1], q.Deviation, q.Tolerance)
		low, high := math.Abs(q.Symmetric[0]-e.Interval[0]), math.Abs(q.Symmetric[1]-e.Interval[1])
		if math.Abs(low-q.Low)+math.Abs(high-q.High) > 1e-9**e.Uncertainty || q.Validated != (low <= q.Tolerance && high <= q.Tolerance) {
			t.Errorf("%s: linear %v, trials %v, δ %v: differs by %v and %v, validated %v", q.Name, *e.Interval, q.Symmetric, q.Tolerance, q.Low, q.High, q.Validated)
		}
		if !q.Validated {
			differ++
		}
	}
	flat := strings.Join(strings.Fields(trials), " ")
	if want := fmt.Sprintf("%d of %d linear 95 %% intervals differ", differ, len(f.MonteCarlo.Quantities)); differ == 0 || !strings.Contains(flat, want) {
		t.Errorf("not told: %q", want)
	}
	if want := fmt.Sprintf("(JCGM 101:2008): %d trials, seed 7", f.MonteCarlo.Trials); f.MonteCarlo.Seed != 7 || !strings.Contains(flat, want) {
		t.Errorf("not told: %q", want)
	}
}

// Every way to a frequency.
func TestTextOfWays(t *testing.T) {
	inDemo(t)
	type prediction struct{ Frequency told }
	type ways struct {
		Target float64
		From   prediction
		Ways   []struct {
			By        string
			Reachable bool
			Setting   told
			At        prediction
			Standard  []struct {
				Capacitance float64
				Frequency   told
			} `json:"standard_values"`
		}
		AtHand []prediction `json:"parts_at_hand"`
	}
	text, w := both[ways](t, "predict lighthouse.csv --reach 1.5MHz --full")
	text = gaps.ReplaceAllString(text, "  ")
	expectLine(t, text, "to reach", w.Target)
	expectLine(t, text, "from bare", w.From.Frequency.numbers()[:2]...)
	for _, p := range w.AtHand {
		expectLine(t, text, "parts at hand", p.Frequency.numbers()[:2]...)
	}
	set := 0
	for _, x := range w.Ways {
		for _, s := range x.Standard {
			expectLine(t, text, fmt.Sprintf("standard value  %.2g pF", 1e12*s.Capacitance), s.Frequency.numbers()[:2]...)
		}
		if x.Reachable {
			expectLine(t, text, "added on the top", x.Setting.numbers()[:2]...)
			set++
		} else {
			expectLine(t, text, "MHz", x.At.Frequency.numbers()[:2]...)
		}
	}
	if set == 0 {
		t.Error("nothing can be set")
	}
}

// Where the voltage stands; JSON has it for one kilovolt at the top.
func TestTextOfVoltages(t *testing.T) {
	inDemo(t)
	type stressed struct {
		Voltage []struct {
			Top      float64 `json:"top_voltage"`
			Gradient float64 `json:"largest_gradient"`
			Turns    float64 `json:"between_turns"`
			Current  float64 `json:"base_current"`
			Density  float64 `json:"current_density"`
			Spark    float64 `json:"spark_reach"`
			Gaps     []struct {
				Between           string
				Voltage, Distance float64
			}
		}
	}
	text, v := both[stressed](t, "predict lighthouse.csv core=rod --coil lighthouse-made-of.csv --top-voltage 20kV")
	if len(v.Voltage) != 1 || len(v.Voltage[0].Gaps) < 3 {
		t.Fatalf("voltages %+v", v)
	}
	x := v.Voltage[0]
	for label, want := range map[string]float64{"Voltage with ": x.Top, "largest gradient": 20 * x.Gradient, "between turns": 20 * x.Turns,
		"current at the grounded end": 20 * x.Current, "in the wire": 20 * x.Density} {
		line := regexp.MustCompile(label + `\s*([0-9.]+ \S+)`).FindStringSubmatch(text)
		if line == nil {
			t.Errorf("%q isn't told", label)
			continue
		}
		cellsTell(t, label, line[1:], want)
	}
}

// At the bench: what is expected, how far a reading is from it, what L becomes, what the next one
// would do. The same as predict, fit and next of the log at that moment.
func TestTextOfLog(t *testing.T) {
	t.Chdir(t.TempDir())
	const head = "frequency [MHz],frequency ± [kHz],added [pF],core\n"
	lines := []string{"2.519,0.8,,", "1.937,0.8,2.2,", "1.613,0.8,4.7,", "1.23,0.8,10,", "0.888,0.8,22,", "1.785,0.8,,rod", "1.146,0.8,4.7,rod"}
	said := []string{"", "", "1.613MHz added=4.7pF", "1.23MHz added=10pF", "0.888MHz added=22pF", "1.785MHz core=rod", "1.146MHz core=rod added=4.7pF"}
	type prediction struct {
		Frequency struct {
			told
			New [2]float64 `json:"prediction_interval_95"`
		}
	}
	write := func(name string, n int) {
		must.Do(t, os.WriteFile(name, []byte(head+strings.Join(lines[:n], "\n")+"\n"), 0o666))
	}
	far, changed := 0, 0
	for n := 2; n < len(lines); n++ {
		write("before.csv", n)
		write("evening.csv", n)
		a := ask(said[n][:strings.Index(said[n], " ")]+" ±0.8kHz"+said[n][strings.Index(said[n], " "):]+"\n.\n", "log", "evening.csv")
		if a.code != exitAnswered {
			t.Fatalf("%s: %s", said[n], a.out+a.err)
		}
		answer := a.out[strings.Index(a.out, "> "):]
		state := strings.Fields(said[n])[1:]
		read := must.Get(strconv.ParseFloat(strings.Split(lines[n], ",")[0], 64)).In(t)
		expectLine(t, answer, "line "+strconv.Itoa(n+2), read*1e6, 800)
		var p prediction
		e := ask("", append(append([]string{"predict", "before.csv"}, state...), "--json")...)
		if json.Unmarshal([]byte(e.out), &p) == nil && p.Frequency.Value != nil {
			far++
			expectLine(t, answer, "expected", *p.Frequency.Value, *p.Frequency.Uncertainty)
			sigmas := regexp.MustCompile(`([0-9.]+) σ (above|below) the `).FindStringSubmatch(answer)
			want := (read*1e6 - *p.Frequency.Value) / math.Hypot(*p.Frequency.Uncertainty, 800)
			if sigmas == nil {
				t.Errorf("%s: no σ in %s", said[n], answer)
			} else if got, _ := strconv.ParseFloat(sigmas[1], 64); math.Abs(got-math.Abs(want)) > 0.06 || got > 0.05 && (sigmas[2] == "above") != (want > 0) {
				t.Errorf("%s: %v, want %.2f", said[n], sigmas[0], want)
			}
		}
		write("after.csv", n+1)
		var before, after toldFit
		for name, f := range map[string]*toldFit{"before.csv": &before, "after.csv": &after} {
			must.Do(t, json.Unmarshal([]byte(ask("", "fit", name, "--json").out), f))
		}
		was, is := before.find("effective_inductance"), after.find("effective_inductance")
		if was.Determined && (math.Abs(*is.Value-*was.Value) > 0.2**is.Uncertainty || *is.Uncertainty < 0.95**was.Uncertainty) {
			changed++
			expectLine(t, answer, "  L ", *was.Value, *was.Uncertainty, *is.Value, *is.Uncertainty)
		}
	}
	if far < 3 || changed == 0 {
		t.Errorf("%d readings were expected, %d changed L", far, changed)
	}
}
