package report

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// invented is a log of four frequencies of an invented coil, with or without a
// capacitor of 10 pF ± 5 % in two of them.
func invented(capacitor bool) readings.Log {
	log := readings.Log{Parts: []readings.Part{{Name: "10 pF", Capacitance: 10e-12, Uncertainty: 0.25e-12, Known: true}}}
	for i, f := range []float64{2.519e6, 2.520e6, 1.230e6, 1.231e6} {
		s := readings.Bare()
		if capacitor && i > 1 {
			s.Parts = []int{0}
		}
		if !capacitor && i > 1 {
			f = 2.5195e6
		}
		log.Readings = append(log.Readings, readings.Reading{State: s, Line: i + 2, Frequency: f, Uncertainty: 800, Use: true,
			Amplitude: math.NaN(), Quality: math.NaN()})
	}
	return log
}

// decode fits a log and reads the JSON back as another program would.
func decode(t *testing.T, log readings.Log) map[string]any {
	t.Helper()
	r := must.Get(model.Fit(estimation.Session{Log: log})).In(t)
	var b bytes.Buffer
	must.Do(t, FitJSON(&b, r, Extra{}, Source{Log: "invented.csv"}))
	var out map[string]any
	must.Do(t, json.Unmarshal(b.Bytes(), &out))
	return out
}

// The fields that other programs rely on are there, with their types.
func TestFitJSONKeepsItsFields(t *testing.T) {
	out := decode(t, invented(true))
	if out["resonator"] != "line" || out["log"] != "invented.csv" {
		t.Errorf("resonator %v, log %v", out["resonator"], out["log"])
	}
	for _, list := range []string{"parameters", "derived", "readings", "undetermined", "warnings"} {
		if _, ok := out[list].([]any); !ok {
			t.Errorf("%s is %T", list, out[list])
		}
	}
	quality := out["quality"].(map[string]any)
	for _, name := range []string{"readings", "degrees_of_freedom", "chi_square", "p_value", "scale_factor", "converged", "aicc"} {
		if _, ok := quality[name]; !ok {
			t.Errorf("quality has no %s", name)
		}
	}
	for _, name := range []string{"line", "frequency", "fitted", "residual", "standardised_residual", "leverage", "cooks_distance", "flag"} {
		if _, ok := out["readings"].([]any)[0].(map[string]any)[name]; !ok {
			t.Errorf("a reading has no %s", name)
		}
	}
	l := find(out, "inductance")
	for _, name := range []string{"value", "unit", "standard_uncertainty", "interval_95", "determined", "held_by_prior"} {
		if _, ok := l[name]; !ok {
			t.Errorf("inductance has no %s: %v", name, l)
		}
	}
	i := l["interval_95"].([]any)
	if v := l["value"].(float64); l["unit"] != "H" || !(i[0].(float64) < v && v < i[1].(float64)) {
		t.Errorf("inductance %v", l)
	}
}

// What the readings leave open has a name and a unit, and no number of any kind.
func TestFitJSONHasNoNumberForTheUndetermined(t *testing.T) {
	out := decode(t, invented(false))
	for _, name := range []string{"inductance", "winding_capacitance", "top_capacitance", "effective_inductance", "effective_capacitance"} {
		e := find(out, name)
		if e["determined"] != false || e["unit"] == "" {
			t.Errorf("%s: %v", name, e)
		}
		for field, v := range e {
			if _, isNumber := v.(float64); isNumber || field == "interval_95" {
				t.Errorf("%s is undetermined, yet has %s = %v", name, field, v)
			}
		}
	}
	if e := find(out, "lc_product"); e["determined"] != true || !(math.Abs(e["value"].(float64)*math.Pow(2*math.Pi*2.5195e6, 2)-1) <= 1e-3) {
		t.Errorf("lc_product: %v", e)
	}
	gaps := out["undetermined"].([]any)
	if len(gaps) == 0 || gaps[0].(map[string]any)["what"] == "" || gaps[0].(map[string]any)["remedy"] == "" {
		t.Errorf("undetermined: %v", gaps)
	}
}

func find(out map[string]any, name string) map[string]any {
	for _, list := range []string{"parameters", "derived"} {
		for _, e := range out[list].([]any) {
			if m := e.(map[string]any); m["name"] == name {
				return m
			}
		}
	}
	return nil
}
