package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/page"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// told is what JSON tells of a quantity.
type told struct {
	Name, Core, Part, Unit, AtBound string
	Hand                            float64
	Value                           *float64
	Uncertainty                     *float64    `json:"standard_uncertainty"`
	Stated                          *float64    `json:"stated_uncertainty"`
	Interval                        *[2]float64 `json:"interval_95"`
	Linear                          *[2]float64 `json:"linear_interval_95"` // where the other is by profile likelihood
	Determined                      bool
	MostlyPrior                     bool               `json:"held_by_prior"`
	Equivalent                      bool               `json:"equivalent_line"`
	Bound                           string             `json:"at_bound"`
	Shares                          map[string]float64 `json:"variance_shares"`
}

type toldFit struct {
	Parameters, Derived []told
	Undetermined        []struct{ Quantities []string }
	Assumed             []struct {
		What, Value string
		Share       *float64 `json:"share_of_inductance_variance"`
		ReplacedBy  string   `json:"replaced_by"`
	}
	Contradicted bool
	Warnings     []string
}

func (f *toldFit) find(name string) *told {
	for _, list := range [][]told{f.Derived, f.Parameters} {
		for i := range list {
			if list[i].Name == name {
				return &list[i]
			}
		}
	}
	return nil
}

var relationSessions = flag.Int("sessions", 120, "random sessions that TestToldNumbersGoTogether invents")

// What is told of a session goes together, whatever was read and however it was fitted:
// numbers among themselves, and text, JSON and page with one another. Sessions are
// invented at random: few readings and many, good ones and contradicting, with cores,
// hands and unknown parts, as a line, a lumped circuit or coupled sections with a sheet.
func TestToldNumbersGoTogether(t *testing.T) {
	sessions := *relationSessions
	sheets := drawnSheets(t)
	modes := map[string]int{}
	drifts := 0
	for seed := range uint64(sessions) {
		rng := rand.New(rand.NewPCG(14, seed))
		mode, s := randomSession(t, rng, sheets)
		r, err := model.Fit(s)
		if err != nil {
			modes["no fit"]++
			continue
		}
		modes[mode]++
		var text, raw bytes.Buffer
		src := report.Source{Log: "log.csv"}
		must.Do(t, report.FitText(&text, r, decisions.Planned{}, nil, src, report.View{Full: true, Width: 120}))
		var brief bytes.Buffer
		var plan decisions.Planned
		if seed%10 == 0 {
			plan = (&call{}).plan(r, input{}, decisions.Measurand{Key: quantities.Key{Name: quantities.EffectiveInductance}, State: readings.Bare()})
		}
		must.Do(t, report.FitText(&brief, r, plan, r.Parts(), src, report.View{}))
		if err := report.FitJSON(&raw, r, report.Extra{}, report.Source{Log: "log.csv"}); err != nil {
			t.Fatalf("seed %d, %s: %v", seed, mode, err)
		}
		var f toldFit
		must.Do(t, json.Unmarshal(raw.Bytes(), &f))
		fault := func(format string, args ...any) {
			t.Helper()
			t.Errorf("seed %d, %s: "+format, append([]any{seed, mode}, args...)...)
		}
		checkNumbers(&f, fault)
		checkPredictions(r, fault)
		rows := tableRows(text.String())
		checkRows(&f, rows, fault)
		checkWords(text.String(), rows, fault)
		checkBrief(&f, brief.String(), fault)
		if few := "too few to test the model or their ±"; strings.Contains(brief.String(), few) != strings.Contains(strings.Join(f.Warnings, "\n"), few) && r.Quality.PValue >= 0.05 {
			fault("text and JSON differ on whether the readings are %s", few)
		}
		if checkDrift([]string{text.String(), brief.String()}, rows, fault) {
			drifts++
		}
		if seed%75 == 0 {
			var b bytes.Buffer
			must.Do(t, page.Write(&b, r, page.Source{Source: report.Source{Log: "log.csv"}}))
			checkPage(&f, rows, b.String(), fault)
		}
		if t.Failed() && seed > 20 {
			break // enough to see
		}
	}
	for _, mode := range []string{"line", "lumped", "ladder", "drawn", "robust"} {
		if modes[mode] < sessions/15 {
			t.Errorf("only %d sessions as %s: %v", modes[mode], mode, modes)
		}
	}
	if drifts < sessions/30 {
		t.Errorf("of %d sessions only %d have a drift that is warned of", sessions, drifts)
	}
	if modes["no fit"] > sessions/20 {
		t.Errorf("%d of %d sessions have no fit", modes["no fit"], sessions)
	}
}

// checkPredictions looks at predictions of states that were hardly read.
func checkPredictions(r *model.Result, fault func(string, ...any)) {
	loaded, part := readings.Bare(), readings.Bare()
	loaded.Exact = 3.3e-12
	part.Core, part.To = "rod", 0.6
	for _, s := range []readings.State{loaded, part} {
		p := decisions.Predict(r.Result, s, nil)
		e := &p.Frequency
		if !e.Determined {
			continue
		}
		b := e.Budget
		if sum := b.Readings + b.Tolerance + b.Known + b.Assumed + b.Model; !(math.Abs(sum-1) <= 1e-6) {
			fault("shares %+v of a prediction add up to %v", b, sum)
		}
		if e.Stated > e.Uncertainty*(1+1e-9) || !(e.Interval[0] < e.Value && e.Value < e.Interval[1]) ||
			!(p.NewReading[0] < e.Value && e.Value < p.NewReading[1]) {
			fault("prediction %+v, new reading in %v", e, p.NewReading)
		}
	}
}

// signed are the quantities that may be below zero.
var signed = []string{quantities.CoreCapacitance, quantities.CoreFrequencyDrop, quantities.StrayCapacitance, quantities.LeadCapacitance, quantities.Drift}

// believed are those with a prior of their own.
var believed = []string{quantities.CoreCapacitance, quantities.WindingCapacitance, quantities.TopCapacitance, quantities.HandExponent, quantities.LeadCapacitance, quantities.Drift}

// unsigned are those that may be zero, whose ± may exceed half of them.
var unsigned = []string{quantities.WindingCapacitance, quantities.TopCapacitance, quantities.HandFrequencyDrop}

func checkNumbers(f *toldFit, fault func(string, ...any)) {
	l, c, hz := f.find(quantities.EffectiveInductance), f.find(quantities.EffectiveCapacitance), f.find(quantities.BareFrequency)
	if l.Determined && c.Determined && hz.Determined {
		if ratio := 2 * math.Pi * math.Sqrt(*l.Value**c.Value) * *hz.Value; !(math.Abs(ratio-1) <= 1e-9) {
			fault("the effective pair rings at %v of the bare frequency", 1/ratio)
		}
	}
	var open, named []string
	for _, u := range f.Undetermined {
		named = append(named, u.Quantities...)
	}
	for _, e := range slices.Concat(f.Parameters, f.Derived) {
		if !e.Determined {
			open = append(open, e.Name)
			if e.Value != nil || e.Uncertainty != nil || e.Stated != nil || e.Interval != nil || e.Shares != nil || e.MostlyPrior {
				fault("undetermined, yet %+v", e)
			}
			if !slices.Contains(named, e.Name) {
				fault("%s is undetermined and nothing says why", e.Name)
			}
			continue
		}
		checkDetermined(&e, f.find(quantities.WindingCapacitance) == nil, fault)
	}
	for _, n := range named {
		if !slices.Contains(open, n) {
			fault("%s is said to be open and is determined", n)
		}
	}
	sum := 0.0
	for _, a := range f.Assumed {
		if a.What == "" || a.Value == "" || a.ReplacedBy == "" || a.Share != nil && *a.Share < 0 {
			fault("assumed %+v", a)
		}
		if (a.Share != nil) != f.find(quantities.EffectiveInductance).Determined {
			fault("%s has a share %v of the variance of the inductance", a.What, a.Share)
		} else if a.Share != nil {
			sum += *a.Share
		}
	}
	if sum > 1+1e-9 {
		fault("what is assumed has %v of the variance", sum)
	}
}

func checkDetermined(e *told, lumped bool, fault func(string, ...any)) {
	what := strings.TrimSpace(fmt.Sprint(e.Name, " ", e.Core, e.Part))
	if e.Value == nil || e.Interval == nil || (e.Uncertainty == nil) != (e.Bound != "") || (e.Stated == nil) != (e.Bound != "") {
		fault("%s is determined without numbers: %+v", what, e)
		return
	}
	v, lo, hi := *e.Value, e.Interval[0], e.Interval[1]
	if !(lo <= v && v <= hi && lo < hi) {
		fault("%s: %v is not in %v", what, v, *e.Interval)
	}
	if !slices.Contains(signed, e.Name) && (lo < 0 || v < 0) {
		fault("%s: %v in %v", what, v, *e.Interval)
	}
	sum := 0.0
	for kind, s := range e.Shares {
		if kind != "tolerance_in_common" { // a part of tolerance
			sum += s
		}
		if s < 0 || s > 1+1e-9 {
			fault("%s: shares %v", what, e.Shares)
		}
	}
	assumed := e.Shares["assumed"]
	if prior := e.Shares["tolerance"] + e.Shares["known"] + assumed; e.MostlyPrior != (prior > 0.5) {
		fault("%s: held_by_prior is %v with %v", what, e.MostlyPrior, e.Shares)
	}
	if e.Bound != "" {
		return
	}
	u := *e.Uncertainty
	if !(math.Abs(sum-1) <= 1e-6) && u > 0 {
		fault("%s: shares %v add up to %v", what, e.Shares, sum)
	}
	if *e.Stated > u*(1+1e-9) {
		fault("%s: stated ± %v above ± %v", what, *e.Stated, u)
	}
	plain := lumped && e.Name == quantities.TopCapacitance // then all capacitance there is
	prior := slices.Contains(believed, e.Name) && !plain
	zero := (slices.Contains(signed, e.Name) || slices.Contains(unsigned, e.Name)) && !plain
	switch relative := u / math.Abs(v); {
	case prior && assumed > 0.5 && relative > 0.1,
		!prior && zero && assumed > 0.5 && relative > 0.25,
		!prior && !zero && (relative > 0.5 || relative > 0.25 && assumed > 0.9):
		fault("%s: %v ± %v is told, with %v from priors", what, v, u, assumed)
	}
}

// tableRow is a row of a table of quantities, in text.
type tableRow struct{ group, label, value, uncertainty, unit string }

var gaps = regexp.MustCompile(` {2,}`)

// tableRows reads the tables of quantities from a text.
func tableRows(text string) (rows []tableRow) {
	group := ""
	for _, line := range strings.Split(text, "\n") {
		switch {
		case line != "" && line[0] != ' ':
			group, _, _ = strings.Cut(line, " (")
			continue
		case group != "The coil" && !strings.HasPrefix(group, "Core ") && group != "Hand near the top" && group != "Parts on the top" && group != "The bench":
			continue
		}
		cells := gaps.Split(strings.TrimSpace(line), -1)
		if len(cells) < 2 || cells[0] == "value" {
			continue
		}
		r := tableRow{group: group, label: cells[0], value: cells[1]}
		if len(cells) > 2 {
			r.uncertainty = cells[2]
		}
		if len(cells) > 3 && !strings.Contains(cells[3], " to ") {
			r.unit = cells[3]
		}
		rows = append(rows, r)
	}
	return rows
}

// labelOf is what text calls a quantity, and where.
func labelOf(e *told) (group, label string) {
	name := strings.ReplaceAll(e.Name, "_", " ")
	switch {
	case e.Name == quantities.RatioGain:
		return "Core " + e.Core, "apparent gain (f_air/f_core)²"
	case e.Core != "":
		return "Core " + e.Core, strings.TrimPrefix(name, "core ")
	case e.Part != "":
		return "Parts on the top", e.Part
	case e.Hand > 0:
		return "Hand near the top", fmt.Sprintf("%s at %.3g cm", strings.TrimPrefix(name, "hand "), 100*e.Hand)
	case e.Name == quantities.LeadCapacitance, e.Name == quantities.Drift:
		return "The bench", name
	case strings.HasPrefix(e.Name, "hand_"):
		return "Hand near the top", name
	case e.Name == quantities.LCProduct:
		name = "L × C"
	case e.Name == quantities.Inductance:
		name = "inductance in air"
	case e.Equivalent:
		name += ", equivalent line"
	}
	return "The coil", name
}
