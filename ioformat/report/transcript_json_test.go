package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"math"
	"testing"
	"time"

	"fitcoil/fit"
	"fitcoil/model"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/findings"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
)

// inLines writes JSON with what belongs together on a line.
func inLines(write func(w io.Writer) error) func(w io.Writer) error {
	return func(w io.Writer) error {
		var long, short bytes.Buffer
		if err := write(&long); err != nil {
			return err
		}
		if err := json.Compact(&short, long.Bytes()); err != nil {
			return err
		}
		text := short.Bytes()
		for _, at := range []string{"},{", "}],", "[{", "],", "},"} {
			text = bytes.ReplaceAll(text, []byte(at), []byte(at[:len(at)-1]+"\n"+at[len(at)-1:]))
		}
		_, err := w.Write(text)
		return err
	}
}

// short is an estimate with few numbers.
func short(name, unit string) quantities.Estimate {
	return quantities.Estimate{Key: quantities.Key{Name: name}, Unit: unit, Value: 3, Uncertainty: 1, Stated: 0.5, Interval: [2]float64{1, 5}, Determined: true}
}

// In JSON stand, beside the numbers, names, units, states, reasons and warnings.
func TestWordsOfJSON(t *testing.T) {
	day := time.Date(2024, 5, 6, 10, 20, 30, 0, time.FixedZone("", 7200))
	src := Source{Log: "a.csv", SHA256: "abc", Program: &Program{Version: "0.2", Revision: "r1", Options: []string{"--coil", "c.csv"}},
		Files: []File{{Name: "a.csv", SHA256: "abc", Dated: "2024-05-01", Modified: day}, {Name: "c.csv", SHA256: "def", Modified: day}, {Name: "-"}}, Warnings: []string{"hand taken as cm"}}
	other := Source{Log: "b.csv", SHA256: "bcd"}
	bare := readings.Bare()
	state := withState(bare, func(s *readings.State) { s.Parts, s.Core, s.From, s.To, s.Hand = []int{0, 1}, "rod", 0.1, 0.6, 0.2 })
	clip := withState(bare, func(s *readings.State) { s.Clip, s.Primary = true, readings.Primary{Kind: readings.PrimaryShorted} })
	r := contradictory()
	p := decisions.Prediction{State: state, Frequency: short("frequency", "Hz"), NewReading: [2]float64{0, 6}, Effects: []decisions.Effect{{Estimate: short("x", "Ω"), Ratio: short("", "1")}},
		Outside: []decisions.Outside{{Element: decisions.HandElement, Predicted: 0.2, From: 0.3, To: 0.4}}, Missing: []decisions.Missing{{Kind: decisions.CoreElement, Name: "rod"}}}
	open := decisions.Prediction{State: clip, Frequency: openEstimate("frequency", "Hz")}
	transcript(t, "predict", inLines(func(w io.Writer) error {
		return PredictJSON(w, r, Predictions{List: []decisions.Prediction{p, open}, Parts: tidyParts, Change: "turns=300"}, src)
	}), `
{"schema":2,"program":{"version":"0.2","revision":"r1","options":["--coil","c.csv"]}
,"inputs":[
{"name":"a.csv","sha256":"abc","dated":"2024-05-01"}
,
{"name":"c.csv","sha256":"def","modified":"2024-05-06T08:20:30Z"}
,
{"name":"-","sha256":""}]
,"log":"a.csv","log_sha256":"abc","change":"turns=300","predictions":[
{"state":{"added":["4.7 pF","spike"]
,"core":"rod","covered":[0.1,0.6]
,"hand":0.2}
,"frequency":{"name":"frequency","value":3,"unit":"Hz","standard_uncertainty":1,"stated_uncertainty":0.5,"interval_95":[1,5]
,"determined":true,"held_by_prior":false,"variance_shares":{"readings":0,"tolerance":0,"tolerance_in_common":0,"known":0,"assumed":0,"model":0}
,"prediction_interval_95":[0,6]}
,"extrapolated":true,"reasons":["core \"rod\" is in no reading used","20 cm is below the 30 cm to 40 cm read"]
,"effects":[
{"name":"x","value":3,"unit":"Ω","standard_uncertainty":1,"stated_uncertainty":0.5,"interval_95":[1,5]
,"determined":true,"held_by_prior":false,"variance_shares":{"readings":0,"tolerance":0,"tolerance_in_common":0,"known":0,"assumed":0,"model":0}
,"ratio_to_bare":{"name":"","value":3,"unit":"1","standard_uncertainty":1,"stated_uncertainty":0.5,"interval_95":[1,5]
,"determined":true,"held_by_prior":false,"variance_shares":{"readings":0,"tolerance":0,"tolerance_in_common":0,"known":0,"assumed":0,"model":0}}}]}
,
{"state":{"added":["clip"]
,"primary":"primary shorted"}
,"frequency":{"name":"frequency","unit":"Hz","determined":false,"held_by_prior":false}
,"extrapolated":false,"reasons":[]
,"effects":[]}]
,"contradicted":true,"warnings":["hand taken as cm","part \"4.7 pF\": the other readings give 5.20 pF, 3.4 standard deviations from its value"]
,"notes":[]}`)
	reach := decisions.Reached{Target: 1.5e6, By: decisions.ByCovered, Start: bare, Setting: openEstimate("covered", "1"), At: open, Closest: 0.5}
	transcript(t, "reach", inLines(func(w io.Writer) error { return ReachJSON(w, r, reach, tidyParts, other) }), `
{"schema":2,"log":"b.csv","log_sha256":"bcd","target":1500000,"unit":"Hz","by":"covered","reachable":false,"setting":{"name":"covered","unit":"1","determined":false,"held_by_prior":false}
,"at":{"state":{"added":["clip"]
,"primary":"primary shorted"}
,"frequency":{"name":"frequency","unit":"Hz","determined":false,"held_by_prior":false}
,"extrapolated":false,"reasons":[]
,"effects":[]}
,"standard_values":[]
,"contradicted":true,"warnings":["part \"4.7 pF\": the other readings give 5.20 pF, 3.4 standard deviations from its value"]
,"notes":[]}`)
	meter := decisions.Suggestion{Candidate: decisions.Candidate{Kind: decisions.MeasurePart, Part: 1, State: bare, Relative: 0.01 / 1.96}, Before: openEstimate("inductance", "H"), After: short("inductance", "H"), Reason: decisions.ReasonTolerance}
	read := decisions.Suggestion{Candidate: decisions.Candidate{State: state}, Before: openEstimate("inductance", "H"), After: openEstimate("inductance", "H"), Reason: decisions.ReasonNothing}
	plan := decisions.Planned{Measurand: decisions.Measurand{Key: quantities.Key{Name: quantities.Inductance}}, Now: openEstimate("inductance", "H"), Ranked: []decisions.Suggestion{meter, read}, Unmet: true}
	transcript(t, "next", inLines(func(w io.Writer) error { return NextJSON(w, r, plan, tidyParts, other) }), `
{"schema":2,"log":"b.csv","log_sha256":"bcd","for":"the inductance","now":{"name":"inductance","unit":"H","determined":false,"held_by_prior":false}
,"candidates":[
{"kind":"part at a meter","what":"spike measured to ± 1 %","state":{"added":[]}
,"part":"spike","tolerance":0.01,"helps":true,"before":{"name":"inductance","unit":"H","determined":false,"held_by_prior":false}
,"after":{"name":"inductance","value":3,"unit":"H","standard_uncertainty":1,"stated_uncertainty":0.5,"interval_95":[1,5]
,"determined":true,"held_by_prior":false,"variance_shares":{"readings":0,"tolerance":0,"tolerance_in_common":0,"known":0,"assumed":0,"model":0}}
,"reason":"replaces tolerances by a measured value"}
,
{"kind":"reading","what":"4.7 pF + spike, core rod 10..60 %, hand at 20 cm","state":{"added":["4.7 pF","spike"]
,"core":"rod","covered":[0.1,0.6]
,"hand":0.2}
,"helps":false,"before":{"name":"inductance","unit":"H","determined":false,"held_by_prior":false}
,"after":{"name":"inductance","unit":"H","determined":false,"held_by_prior":false}
,"reason":"adds no information on the inductance"}]
,"plan":[]
,"exchanged_plan":[]
,"still_undetermined":true,"contradicted":true,"warnings":["part \"4.7 pF\": the other readings give 5.20 pF, 3.4 standard deviations from its value"]
,"notes":[]}`)
	change := decisions.Change{A: short("inductance", "H"), B: openEstimate("inductance", "H"), Difference: openEstimate("", "H"), Sigmas: math.NaN(), Chance: math.NaN(), Moved: true}
	c := decisions.Comparison{Changes: []decisions.Change{change}, SplitA: true}
	transcript(t, "compare", inLines(func(w io.Writer) error { return CompareJSON(w, c, [2]*model.Result{r, consistent()}, src, other) }), `
{"schema":2,"program":{"version":"0.2","revision":"r1","options":["--coil","c.csv"]}
,"inputs":[
{"name":"a.csv","sha256":"abc","dated":"2024-05-01"}
,
{"name":"c.csv","sha256":"def","modified":"2024-05-06T08:20:30Z"}
,
{"name":"-","sha256":""}]
,"a":{"log":"a.csv","log_sha256":"abc"}
,"b":{"log":"b.csv","log_sha256":"bcd"}
,"changes":[
{"name":"inductance","a":{"name":"inductance","value":3,"unit":"H","standard_uncertainty":1,"stated_uncertainty":0.5,"interval_95":[1,5]
,"determined":true,"held_by_prior":false,"variance_shares":{"readings":0,"tolerance":0,"tolerance_in_common":0,"known":0,"assumed":0,"model":0}}
,"b":{"name":"inductance","unit":"H","determined":false,"held_by_prior":false}
,"difference":{"name":"","unit":"H","determined":false,"held_by_prior":false}
,"moved":true,"outside_interval":false}]
,"tested":0,"a_inductance_apart":true,"b_inductance_apart":false,"contradicted":true,"warnings":["A: hand taken as cm","A: part \"4.7 pF\": the other readings give 5.20 pF, 3.4 standard deviations from its value"]
,"notes":[]}`)
	log := readings.Log{Parts: tidyParts[:2], Readings: []readings.Reading{{State: state, Line: 4, Frequency: 5, Uncertainty: 1, FromDigits: true, Use: true}, {State: clip, Line: 5, Frequency: 6, Uncertainty: 2,
		Repeats: &readings.Repeats{Count: 2, Last: 8, Deviation: math.NaN(), Slow: 1, Wanders: true}}}}
	transcript(t, "check", inLines(func(w io.Writer) error { return CheckJSON(w, log, src) }), `
{"schema":2,"program":{"version":"0.2","revision":"r1","options":["--coil","c.csv"]}
,"inputs":[
{"name":"a.csv","sha256":"abc","dated":"2024-05-01"}
,
{"name":"c.csv","sha256":"def","modified":"2024-05-06T08:20:30Z"}
,
{"name":"-","sha256":""}]
,"log":"a.csv","log_sha256":"abc","readings":[
{"line":4,"frequency":5,"standard_uncertainty":1,"unit":"Hz","uncertainty_from_digits":true,"added":["4.7 pF","spike"]
,"core":"rod","covered":[0.1,0.6]
,"hand":0.2,"used":true}
,
{"line":5,"frequency":6,"standard_uncertainty":2,"unit":"Hz","uncertainty_from_digits":false,"added":[]
,"primary":"primary shorted","used":false,"repeats":{"count":2,"last_line":8,"standard_deviation":null,"mean_uncertainty_factor":1,"drifts":true,"lowest":{"line":0,"frequency":0}
,"highest":{"line":0,"frequency":0}}}]
,"parts":[
{"name":"4.7 pF","capacitance":4.7e-12,"standard_uncertainty":1e-13,"unit":"F","known":true}
,
{"name":"spike","unit":"F","known":false}]
,"warnings":["hand taken as cm"]}`)
	agreed := decisions.Agreed{Estimate: short("inductance", "H"), PValue: math.NaN(), Differs: true, Own: []float64{1, 0}, Deviations: []float64{2, 0}, Sigmas: []float64{math.Inf(1), 0}, Sessions: []*quantities.Estimate{{Value: 7, Uncertainty: 8}, nil}}
	transcript(t, "consensus", inLines(func(w io.Writer) error {
		return ConsensusJSON(w, []*model.Result{r, consistent()}, []decisions.Agreed{agreed}, []Source{src, other})
	}), `
{"schema":2,"program":{"version":"0.2","revision":"r1","options":["--coil","c.csv"]}
,"inputs":[
{"name":"a.csv","sha256":"abc","dated":"2024-05-01"}
,
{"name":"c.csv","sha256":"def","modified":"2024-05-06T08:20:30Z"}
,
{"name":"-","sha256":""}]
,"logs":["a.csv","b.csv"]
,"quantities":[
{"consensus":{"name":"inductance","value":3,"unit":"H","standard_uncertainty":1,"stated_uncertainty":0.5,"interval_95":[1,5]
,"determined":true,"held_by_prior":false}
,"between_sessions":0,"p_value":null,"differs":true,"sessions":[
{"value":7,"standard_uncertainty":8,"own_uncertainty":1,"deviation":2,"sigmas":null}
,null]}]
,"contradicted":true,"warnings":["hand taken as cm","part \"4.7 pF\": the other readings give 5.20 pF, 3.4 standard deviations from its value"]
,"notes":[]}`)
	e := short("inductance", "H")
	e.Bound, e.Coverage, e.Equivalent, e.Budget = fit.AtLower, 2, true, quantities.Budget{Known: 0.6, Readings: 0.4}
	in := estimation.Input{Source: estimation.Source{Kind: estimation.BareReadings, Count: 1, Share: 1}, Line: 7, Value: 1, Unit: "Hz", Uncertainty: 2, Logarithmic: true, Degrees: math.Inf(1), Contribution: 3}
	transcript(t, "budget", inLines(func(w io.Writer) error {
		return BudgetJSON(w, r, Budget{Estimate: &e, Inputs: []estimation.Input{in}, State: &state, Parts: tidyParts}, src)
	}), `
{"schema":2,"log":"a.csv","log_sha256":"abc","program":{"version":"0.2","revision":"r1","options":["--coil","c.csv"]}
,"inputs":[
{"name":"a.csv","sha256":"abc","dated":"2024-05-01"}
,
{"name":"c.csv","sha256":"def","modified":"2024-05-06T08:20:30Z"}
,
{"name":"-","sha256":""}]
,"quantity":{"name":"inductance","value":3,"unit":"H","standard_uncertainty":1,"stated_uncertainty":0.5,"interval_95":[1,5]
,"determined":true,"held_by_prior":true,"equivalent_line":true,"at_bound":"at its lower bound","variance_shares":{"readings":0.4,"tolerance":0,"tolerance_in_common":0,"known":0.6,"assumed":0,"model":0}}
,"state":{"added":["4.7 pF","spike"]
,"core":"rod","covered":[0.1,0.6]
,"hand":0.2}
,"input_quantities":[
{"name":"line 7, bare","line":7,"value":1,"unit":"Hz","logarithmic":true,"standard_uncertainty":2,"sensitivity":0,"contribution":3,"share":1}]
,"contradicted":true,"warnings":["hand taken as cm","part \"4.7 pF\": the other readings give 5.20 pF, 3.4 standard deviations from its value"]
,"notes":[]}`)
	d := drawnCoil()
	d.Estimates = []quantities.Estimate{short("inductance", "H")}
	cross := cross(d)
	transcript(t, "coil", inLines(func(w io.Writer) error { return CoilJSON(w, d, &cross, 1000, src) }), `
{"schema":2,"program":{"version":"0.2","revision":"r1","options":["--coil","c.csv"]}
,"inputs":[
{"name":"a.csv","sha256":"abc","dated":"2024-05-01"}
,
{"name":"c.csv","sha256":"def","modified":"2024-05-06T08:20:30Z"}
,
{"name":"-","sha256":""}]
,"sheet":"a.csv","estimates":[
{"name":"inductance","value":3,"unit":"H","standard_uncertainty":1,"stated_uncertainty":0.5,"interval_95":[1,5]
,"determined":true,"held_by_prior":false}]
,"cross_check":{"length_over_diameter":5,"drawn":{"name":"self_capacitance","value":3,"unit":"F","standard_uncertainty":1,"stated_uncertainty":0.5,"interval_95":[1,5]
,"determined":true,"held_by_prior":false}}
,"voltage":[
{"state":"bare","top_voltage":1000,"largest_gradient":10000,"largest_gradient_at":0.025,"between_turns":10,"gaps":[
{"between":"turns","height":0.025,"voltage":10,"distance":0.0005}]
,"base_current":0.05,"current_density":254648,"may_spark":[]
,"beads":[]
,"profile":[
{"height":0,"voltage":0,"current":0.05}
,
{"height":0.05,"voltage":500,"current":0.0375}
,
{"height":0.1,"voltage":1000,"current":0.025}]
,"spark_reach":0.00112}]
,"warnings":["hand taken as cm"]}`)
	captured := inventedCapture()
	captured.Result.Tones, captured.Result.Modes, captured.Result.Covariance, captured.Result.Bursts = nil, nil, nil, captured.Result.Bursts[1:]
	captured.Result.Resonance.Unclaimed, captured.Result.QualityAtLeast = true, 40
	captured.Result.Quality.Interval[1] = math.Inf(1)
	transcript(t, "capture", inLines(func(w io.Writer) error { return CaptureJSON(w, []Captured{captured}, nil) }), `
{"schema":2,"captures":[
{"name":"scope.csv","column":"CH1","segment":2,"samples":400,"interval":2.5e-8,"interval_unit":"s","kind":"decaying","resonance_frequency":{"name":"resonance_frequency","value":1234600,"unit":"Hz","determined":true,"held_by_prior":false}
,"crossing_frequency":{"name":"crossing_frequency","value":1234500,"unit":"Hz","standard_uncertainty":40,"interval_95":[1234420,1234580]
,"determined":true,"held_by_prior":false}
,"quality_factor":{"name":"quality_factor","value":80,"unit":"1","standard_uncertainty":2,"determined":true,"held_by_prior":false}
,"quality_factor_at_least":40,"damping":{"name":"damping","value":48481,"unit":"1/s","standard_uncertainty":120,"interval_95":[48241,48721]
,"determined":true,"held_by_prior":false}
,"amplitude":{"name":"amplitude","value":1.5,"unit":"V","standard_uncertainty":0.02,"interval_95":[1.46,1.54]
,"determined":true,"held_by_prior":false}
,"offset":{"name":"offset","value":0.25,"unit":"V","standard_uncertainty":0.003,"interval_95":[0.244,0.256]
,"determined":true,"held_by_prior":false}
,"noise_rms":0.0042,"modes":[]
,"tones":[]
,"bursts":[
{"start":0.000006,"end":0.000008,"unit":"s","cycles":9,"frequency":{"name":"frequency","value":1301000,"unit":"Hz","standard_uncertainty":20,"interval_95":[1300960,1301040]
,"determined":true,"held_by_prior":false}
,"quality_factor":{"name":"quality_factor","value":62,"unit":"1","standard_uncertainty":1,"interval_95":[60,64]
,"determined":true,"held_by_prior":false}
,"left_out":true}]
,"used_share":0.75,"left_out":[
{"start":0,"end":0.000002,"unit":"s","why":"before the ring"}
,
{"start":0.000008,"end":0.000009,"unit":"s","why":"before the ring"}]
,"warnings":["mind this"]}]}`)
}

// Those of a fit, beside the numbers.
func TestWordsOfFitJSON(t *testing.T) {
	r := fittedInvented(t)
	r.Findings = []findings.Finding{{Kind: findings.ReadingSuspect, Line: 3, Value: 4.3}, {Kind: findings.ReadingsUnchecked, Lines: []int{4}}}
	r.Parameters, r.Derived = []quantities.Estimate{short(quantities.Inductance, "H")}, []quantities.Estimate{short(quantities.EffectiveInductance, "H")}
	r.Derived[0].Uncertainty = math.NaN()
	r.Readings = r.Readings[:2]
	for i := range r.Readings {
		r.Readings[i] = estimation.ReadingResult{Reading: readings.Reading{Line: 3 + i, Frequency: 5, Uncertainty: 1, Use: i == 0}, Fitted: math.NaN(), Residual: 1, Standardised: math.Inf(1), Flagged: true}
	}
	r.Undetermined = []findings.Undetermined{{What: findings.GapCore, Core: "rod", Advice: findings.ReadCoreWithCapacitor, Names: []string{quantities.CoreGain}}}
	r.Alternative = &estimation.Alternative{Resonator: "line", Quality: estimation.Quality{PValue: math.NaN(), AICc: math.NaN()}}
	r.Assumed = []estimation.Assumption{{Kind: estimation.AssumedDigits, Count: 3, Share: math.NaN(), Moved: math.NaN(), Left: math.NaN()}}
	r.Checks = []estimation.Check{{Drawn: short("inductance", "H"), Readings: openEstimate("", "H"), Sigmas: math.NaN()}}
	transcript(t, "fit", inLines(func(w io.Writer) error {
		var b bytes.Buffer
		var out map[string]json.RawMessage
		err := errors.Join(FitJSON(&b, r, Extra{}, Source{Log: "a.csv", Warnings: []string{"hand taken as cm"}}), json.Unmarshal(b.Bytes(), &out))
		delete(out, "covariance") // what the fit computes; package earlier reads it back
		delete(out, "carried")
		return errors.Join(err, json.NewEncoder(w).Encode(out))
	}), `
{"alternative":{"resonator":"line","readings":0,"degrees_of_freedom":0,"chi_square":0,"p_value":null,"scale_factor":0,"tolerance_factor":0,"converged":false,"outcome":"not solved","aicc":null}
,"assumed":[
{"what":"± of 3 readings","value":"half a unit of the last digit, rectangular","share_of_inductance_variance":null,"replaced_by":"column frequency ±"}]
,"contradicted":false,"contrasts":[
{"of":"amplitude","core":"rod","ratio":0.512,"pairs":1}
,
{"of":"quality_factor","core":"rod","ratio":0.8,"standard_uncertainty":0.05,"pairs":3}
,
{"of":"amplitude","core":"other","ratio":2,"standard_uncertainty":0,"pairs":1}]
,"derived":[
{"name":"effective_inductance","value":3,"unit":"H","stated_uncertainty":0.5,"interval_95":[1,5]
,"determined":true,"held_by_prior":false,"variance_shares":{"readings":0,"tolerance":0,"tolerance_in_common":0,"known":0,"assumed":0,"model":0}}]
,"drawing":[
{"name":"inductance","drawn":{"name":"inductance","value":3,"unit":"H","standard_uncertainty":1,"stated_uncertainty":0.5,"interval_95":[1,5]
,"determined":true,"held_by_prior":false}
,"readings_alone":{"name":"","unit":"H","determined":false,"held_by_prior":false}}]
,"log":"a.csv","notes":["line 4: this reading alone determines something, so that no residual shows an error there"]
,"parameters":[
{"name":"inductance","value":3,"unit":"H","standard_uncertainty":1,"stated_uncertainty":0.5,"interval_95":[1,5]
,"determined":true,"held_by_prior":false,"variance_shares":{"readings":0,"tolerance":0,"tolerance_in_common":0,"known":0,"assumed":0,"model":0}}]
,"quality":{"readings":4,"degrees_of_freedom":5,"chi_square":6,"p_value":0.306,"scale_factor":1,"tolerance_factor":1.234,"converged":true,"outcome":"converged","aicc":null}
,"readings":[
{"line":3,"frequency":5,"standard_uncertainty":1,"used":true,"fitted":null,"residual":1,"standardised_residual":null,"leverage":0,"cooks_distance":0,"flag":"suspect","unit":"Hz"}
,
{"line":4,"frequency":5,"standard_uncertainty":1,"used":false,"fitted":null,"residual":1,"standardised_residual":null,"leverage":0,"cooks_distance":0,"flag":"not used","unit":"Hz"}]
,"resonator":"lumped","schema":2,"undetermined":[
{"what":"the effect of core \"rod\": its readings can't separate it from the rest of the coil","remedy":"take readings with the core out and with the core in, nobody near, each bare, with a known capacitor of a few pF and with one that brings the frequency to a half, each three times","quantities":["core_gain"]
,"core":"rod"}]
,"warnings":["hand taken as cm","line 3 is 4.3 standard uncertainties from what the other readings predict: read it again before you keep it or leave it out"]}`)
}

// full is a file on a disk that is full, after so many bytes.
type full struct{ left int }

func (f *full) Write(b []byte) (int, error) {
	if f.left -= len(b); f.left < 0 {
		return 0, errFull
	}
	return len(b), nil
}

var errFull = errors.New("the disk is full")

// What can't be written is no answer.
func TestFullDisk(t *testing.T) {
	p := Predictions{List: []decisions.Prediction{predicted(readings.Bare())}}
	for what, write := range map[string]func(w io.Writer) error{
		"text":     func(w io.Writer) error { return PredictText(w, consistent(), p, decisions.Planned{}, Source{}, View{}) },
		"JSON":     func(w io.Writer) error { return PredictJSON(w, nil, p, Source{}) },
		"CSV":      func(w io.Writer) error { return PredictCSV(w, p) },
		"profiles": func(w io.Writer) error { return ExtraText(w, Extra{Profiles: []estimation.Profiled{}}, View{}) },
	} {
		if err := write(&full{}); !errors.Is(err, errFull) {
			t.Errorf("%s: %v", what, err)
		}
		if err := write(&full{1 << 20}); err != nil {
			t.Errorf("%s: %v", what, err)
		}
	}
}
