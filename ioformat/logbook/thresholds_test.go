package logbook

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/known"
	"fitcoil/ioformat/quantity"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
)

// A state that was typed holds for one reading; the clock of a new log counts minutes; one that isn't
// used is neither compared with what was expected nor one of the bare coil.
func TestOneReadingAfterAnother(t *testing.T) {
	k, minutes := &kept{}, 0.0
	b := open(t, k, &minutes)
	minutes = 3.7
	say(t, b, "have 4.7pF", "±0.8kHz", "2.519")
	if !strings.HasSuffix(string(k.Content), "2.519,0.8,,,,,,,3,,\n") {
		t.Errorf("%q", k.Content)
	}
	if got := open(t, k, &minutes).Greeting(); !strings.HasPrefix(got, "evening.csv: 1 reading. ") {
		t.Errorf("%q", got)
	}
	say(t, b, "added=10pF", "1.2299")
	if r := b.log.Readings[1]; len(r.Parts) != 1 || b.log.Parts[r.Parts[0]].Name != "10 pF" || b.own || b.typed != nil {
		t.Errorf("%+v, the state typed holds: %v", r, b.own)
	}
	say(t, b, "1.613 added=4.7pF")
	if got := say(t, b, "9.9 bare use=no"); strings.Contains(got, "σ") {
		t.Errorf("%q", got)
	}
	if n := b.sinceBare(); n != 3 {
		t.Errorf("%d readings since that of the bare coil", n)
	}
	if got := say(t, b, "1.163 added=4.7pF"); b.again == "" || !strings.Contains(got, "once more") {
		t.Errorf("%q", got)
	}
	if got := say(t, b, "<"); b.again != "" || strings.Contains(got, "once more") {
		t.Errorf("%q", got)
	}
}

// A part is at hand once, however it is written.
func TestPartsAtHandOnce(t *testing.T) {
	b := open(t, &kept{}, nil)
	say(t, b, "have 4.7pF core=rod", "have 4700fF,10pF core=Rod", "have 10.0pF core=Beads")
	if got := fmt.Sprint(b.parts, b.cores); got != "[4.7pF 10pF] [rod Beads]" {
		t.Errorf("%s", got)
	}
}

// The word next ranks ten of what could be done.
func TestRankedAreTen(t *testing.T) {
	b := open(t, &kept{}, nil)
	say(t, b, "have 1pF,2.2pF,3.3pF,4.7pF,10pF,15pF,22pF,33pF", "±0.8kHz", "2.519")
	b.bench.View.Full = true
	each, _, _ := strings.Cut(say(t, b, "next"), "not listed")
	if n := strings.Count(each, "→"); n != 10 {
		t.Errorf("%d are ranked in\n%s", n, each)
	}
}

// Where the goal waits for readings to come, the word next tells what to read for it.
func TestNextOfAGoalToCome(t *testing.T) {
	for goal, want := range map[string]string{"hand": "next: hand at 10 cm (no reading has a hand yet)\n", "gain:rod": "next: core=rod (no reading has this core yet)\n"} {
		b := open(t, &kept{}, nil)
		say(t, b, "±0.8kHz", "2.519", "1.613 added=4.7pF")
		if goal != "hand" {
			say(t, b, "have core=rod")
		}
		say(t, b, "goal "+goal)
		if got := say(t, b, "next"); got != want {
			t.Errorf("%s: %q, want %q", goal, got, want)
		}
	}
}

// That readings contradict each other is told when they begin to.
func TestContradictionIsToldOnce(t *testing.T) {
	b := open(t, &kept{}, nil)
	say(t, b, "±0.8kHz", "2.519", "1.613 added=4.7pF")
	for _, c := range []struct {
		before, now float64
		want        bool
	}{{0.5, 9e-4, true}, {nan, 9e-4, true}, {0.0011, 9e-4, true}, {9e-4, 9e-4, false}, {0.5, 1.1e-3, false}, {0.5, nan, false}} {
		b.pending, b.result.Quality.PValue = false, c.now
		got := b.answer(standing{p: c.before, goals: b.known()}, benchlog.Row{}, "2.519")
		want, stand := "line 3: 1.61300 ± 0.00080 MHz, 4.7 pF\n", ""
		const contradict = " contradict each other (p < 0.001): fit says which\n"
		if c.want {
			want += "  the readings now" + contradict
		}
		if c.now < 1e-3 {
			stand = "  the readings" + contradict
		}
		l := b.result.Find(quantities.Key{Name: quantities.EffectiveInductance})
		if sum := b.summary(); got != want || sum != "  L is "+quantity.Format(l.Value, l.Uncertainty, "H").String()+"\n"+stand {
			t.Errorf("%+v: %q, want %q; in all %q", c, got, want, sum)
		}
	}
	// What was meant lies within two standard uncertainties of what was expected.
	for off, want := range map[float64]string{1.9: "1.613", 2.1: ""} {
		if got := slip("1.631", func(ratio float64) float64 { return math.Abs(ratio*1.631-1.613-off*1e-4) / 1e-4 }); got != want {
			t.Errorf("%v: %q", off, got)
		}
	}
}

// A meter is named where it does more than the plan, and more than four readings that are worth it.
func TestWorthOfAMeter(t *testing.T) {
	some, none := 0, 0
	for i := range 12 {
		b := open(t, &kept{}, nil)
		say(t, b, "±0.8kHz", "goal L", "2.519", "1.613 added=4.7pF±20%", fmt.Sprintf("have 4.7pF±%.1f%%", 18-1.5*float64(i)))
		s, bench := b.atHand()
		m := must.Get(known.ParseMeasurand("L", b.result, s)).In(t)
		most := 0.0
		for _, c := range decisions.Next(b.result.Result, m, decisions.Candidates(b.result.Result, m, bench), bench.Parts, 1).Ranked {
			if c.Kind == decisions.MeasurePart && c.Helps() {
				most = math.Max(most, math.Log(c.Before.Uncertainty/c.Before.Value*c.After.Value/c.After.Uncertainty))
			}
		}
		for _, drop := range []float64{0, most * 0.99, most * 1.01} {
			want := most > 0.2 && drop < most
			if got := b.measuring(s, bench, []decisions.Measurand{m}, []string{"L"}, drop); (got != "") != want {
				t.Errorf("a meter lowers ln u by %.3f, the plan by %.3f: %q", most, drop, got)
			}
		}
		if most > 0.2 {
			some++
		} else if most > 0.05 {
			none++
		}
	}
	if some == 0 || none == 0 {
		t.Errorf("%d and %d", some, none)
	}
}

// A reader takes the log's spelling of a core, and tells what a sheet says as soon as there is a reading.
func TestReaderKnowsTheRest(t *testing.T) {
	sheet := must.Get(coilsheet.Read(strings.NewReader("quantity,value,±,unit\nturns,560,,\nwinding diameter,24,0.1,mm\nwinding length,220,1,mm\n"), "sheet.csv")).In(t)
	read := Reader("x.csv", benchlog.Options{}, []quantities.Known{{Key: quantities.Key{Name: quantities.CoreGain, Core: "ROD"}, Value: 2, Uncertainty: 0.1}}, sheet, estimation.Session{})
	for rows, drawn := range map[string]bool{"": false, "2.519,\n": true, "2.519,\n1.785,rod\n": true} {
		_, s, err := read([]byte("frequency [MHz],core\n" + rows))
		if err != nil || len(s.Known) == 0 || s.Known[0].Core != map[bool]string{false: "ROD", true: "rod"}[strings.Contains(rows, "rod")] || (s.Drawn != nil) != drawn {
			t.Errorf("%q: %v, %+v, drawn %v", rows, err, s.Known, s.Drawn != nil)
		}
	}
	if _, _, err := read([]byte("frequency [MHz],core\nx,\n")); err == nil {
		t.Error("read a word for a frequency")
	}
}

// A figure shows a thousand readings; the uncertainty of each is what the fit gave it, which scatter enlarges.
func TestViewOfManyReadings(t *testing.T) {
	var log strings.Builder
	log.WriteString("frequency [MHz],frequency ± [kHz],added [pF]\n")
	for i := range 1002 {
		log.WriteString([]string{"2.519", "2.522", "1.613", "1.616"}[i%4] + ",0.8," + []string{"", "", "4.7", "4.7"}[i%4] + "\n")
	}
	b := must.Get(openNamed(log.String())).In(t)
	v := b.View()
	if len(v.Readings) != 1002 {
		t.Fatalf("%d readings", len(v.Readings))
	}
	for i, o := range v.Readings[996:] {
		fitted := b.result.Readings[996+i]
		if shown := i < 4; shown != !math.IsNaN(o.Residual) || shown && (o.Residual != fitted.Residual || o.Uncertainty != fitted.Weighed) {
			t.Errorf("reading %d: %+v, want %+v", 997+i, o, fitted)
		}
	}
	if o := &b.result.Readings[0]; !(o.Weighed > 1.5*o.Uncertainty) {
		t.Errorf("weighed with %s of %s", quantity.Format(o.Weighed, 0, "Hz"), quantity.Format(o.Uncertainty, 0, "Hz"))
	}
}

func openNamed(content string) (*Book, error) {
	b, _, err := Open(&Memory{[]byte(content)}, Bench{Name: "x.csv", Read: Reader("x.csv", benchlog.Options{}, nil, nil, estimation.Session{}), Now: time.Now})
	return b, err
}

// Of a log that contradicts itself when it is opened, neither what it is greeted with nor what to read
// next gives numbers without saying so. Invented data: the 10 pF part is 13.5 pF in the one log, 10.2 pF in
// the other.
func TestContradictionIsToldOnOpening(t *testing.T) {
	for tenth, want := range map[string]bool{"1.1026": true, "1.2317": false} {
		content := []byte("frequency [MHz],frequency ± [kHz],added [pF],added ± [%]\n2.5753,0.4,,\n1.9758,0.4,2.2,5\n1.6341,0.4,4.7,5\n" +
			tenth + ",0.4,10,5\n0.8959,0.4,22,5\n1.0535,0.4,15,5\n2.5754,0.4,,\n")
		b, greeting, err := Open(&Memory{content}, Bench{Name: "x.csv", Read: Reader("x.csv", benchlog.Options{}, nil, nil, estimation.Session{}), Now: time.Now})
		must.Do(t, err)
		next := say(t, b, "next")
		if got := strings.Contains(greeting, "the readings contradict each other"); got != want || strings.Contains(next, "Contradiction:") != want {
			t.Errorf("%s MHz with 10 pF: greeted with\n%s\nnext:\n%s", tenth, greeting, next)
		}
	}
}
