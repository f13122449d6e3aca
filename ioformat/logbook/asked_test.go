package logbook

import (
	"bytes"
	"testing"
	"time"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/known"
	"fitcoil/ioformat/report"
	"fitcoil/model/decisions"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// What is asked of a log is answered as the commands answer it, in the terminal's width, with the log's
// name, its warnings, parts at hand and such as can be bought at the tolerance told.
func TestAskedAsOfTheCommands(t *testing.T) {
	const name = "evening.csv"
	content := []byte("frequency [MHz],frequency ± [kHz],added [pF],remark\n2.519,0.8,,a\n1.613,0.8,4.7±5%,b\n1.937,0.8,2.2±5%,c\n1.937,0.8,2.2±5%,c\n# 1.937,0.8,2.2±5%,d\n")
	read := Reader(name, benchlog.Options{}, nil, nil, estimation.Session{})
	log, _, err := read(content)
	must.Do(t, err)
	if len(log.Warnings) == 0 {
		t.Fatal("a log with a warning is needed")
	}
	for _, width := range []int{50, 100} {
		view := report.View{Width: width}
		b, _, err := Open(&Memory{content}, Bench{Name: name, Read: read, Now: time.Now, View: view, Tolerance: 0.2})
		must.Do(t, err)
		say(t, b, "have 10pF±1%,4.7pF±0.1%", "goal C L")
		r := fitOf(t, content)
		r.Judge()
		src := report.Source{Log: name, SHA256: log.SHA256, Warnings: log.Warnings}
		plan := func(want string) (decisions.Planned, []readings.Part) {
			s := log.States()
			bench := decisions.Bench{Tolerance: 0.2, Buy: true}
			for _, p := range []string{"10pF±1%", "4.7pF±0.1%"} {
				if m, better, err := s.Have(p); err == nil && better {
					bench.Measured = append(bench.Measured, m)
				}
			}
			bench.Parts = s.Parts()[len(log.Parts):]
			m := must.Get(known.ParseMeasurand(want, r, s)).In(t)
			return decisions.Next(r.Result, m, decisions.Candidates(r.Result, m, bench), bench.Parts, 1), s.Parts()
		}
		var fit, full, next, check bytes.Buffer
		p, parts := plan("L")
		must.Do(t, report.FitText(&fit, r, p, parts, src, view))
		must.Do(t, report.FitText(&full, r, p, parts, src, report.View{Full: true}))
		p, parts = plan("C")
		must.Do(t, report.NextText(&next, r, p, parts, 10, src, view))
		must.Do(t, report.CheckText(&check, log.Log, src, view))
		for line, want := range map[string]string{"fit": fit.String(), "next": next.String(), "check": check.String()} {
			if got := say(t, b, line); got != want {
				t.Errorf("%s in %d columns:\n%s\nwant\n%s", line, width, got, want)
			}
		}
		if got := b.Report(); got != full.String() {
			t.Errorf("report:\n%s\nwant\n%s", got, full.String())
		}
	}
}
