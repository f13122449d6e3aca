package page

import (
	"bytes"
	"io"
	"os"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/ioformat/benchlog"
	"fitcoil/ioformat/coilsheet"
	"fitcoil/ioformat/report"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// logs are sessions of all kinds, beside the demo: invented data.
func logs() map[string]string {
	return map[string]string{
		"bare only":     "frequency [MHz]\n2.524\n2.525\n2.524\n",
		"one reading":   "frequency [MHz]\n2.524\n",
		"no core":       "frequency [MHz],added [pF]\n2.524,\n1.959,2.2\n1.635,4.7\n1.246,10\n2.525,\n",
		"parts unknown": "frequency [MHz],added [pF]\n2.524,\n1.959,2.2\n1.635,4.7\n1.246,10\n1.861,spike\n1.397,spike+4.7\n",
		"only a hand":   "frequency [MHz],hand [cm]\n2.524,\n2.482,10\n2.510,20\n2.521,40\n",
		"one distance":  "frequency [MHz],added [pF],hand [cm]\n2.524,,\n1.635,4.7,\n1.246,10,\n2.482,,10\n",
		"only a core":   "frequency [MHz],core\n2.524,\n1.946,rod\n1.947,rod\n2.525,\n",
		"core always":   "frequency [MHz],added [pF],core\n1.946,,rod\n1.275,4.7,rod\n0.975,10,rod\n",
		"core at 30 %":  "frequency [MHz],added [pF],core,covered [%]\n2.524,,,\n1.635,4.7,,\n1.246,10,,\n2.25,,a & b,30\n1.44,4.7,a & b,30\n",
		"misread":       "frequency [MHz],frequency ± [kHz],added [pF]\n2.519,0.8,\n1.937,0.8,2.2\n1.513,0.8,4.7\n1.230,0.8,10\n2.519,0.8,\n1.420,0.8,4.7+2.2\n1.059,0.8,10+4.7\n1.137,0.8,10+2.2\n",
		"scattered":     "frequency [MHz],frequency ± [kHz],added [pF]\n2.520,0.8,\n1.964,0.8,2.2\n1.631,0.8,4.7\n1.251,0.8,10\n2.531,0.8,\n1.434,0.8,4.7+2.2\n1.077,0.8,10+4.7\n",
		"left out":      "frequency [MHz],added [pF],use,note\n2.524,,,\"<b>as \"\"built\"\"</b>\"\n1.959,2.2,,\n1.635,4.7,,\n1.246,10,,\n1.1,10,no,probe fell\n",
	}
}

// session is a log with its fit, which tests share: don't change them.
type session struct {
	log *benchlog.Log
	fit *model.Result
}

var sessions = map[string]session{} // by the log's text

// fitted fits a log.
func fitted(t *testing.T, text string) (*model.Result, *benchlog.Log) {
	t.Helper()
	s, known := sessions[text]
	if !known {
		log := must.Get(benchlog.Read(strings.NewReader(text), "log.csv", benchlog.Options{})).In(t)
		s = session{log, mustFit(t, estimation.Session{Log: log.Log})}
		sessions[text] = s
	}
	return s.fit, s.log
}

func mustFit(t *testing.T, s estimation.Session) *model.Result {
	t.Helper()
	return must.Get(model.Fit(s)).In(t)
}

func demo(t *testing.T) (*model.Result, *benchlog.Log) {
	t.Helper()
	text := must.Get(os.ReadFile("../../testdata/lighthouse.csv")).In(t)
	return fitted(t, string(text))
}

// drawn fits the demo with its coil sheet: the ladder is the resonator then.
func drawn(t *testing.T) *model.Result {
	t.Helper()
	if s, known := sessions["drawn"]; known {
		return s.fit
	}
	_, log := demo(t)
	f, err := os.Open("../../testdata/lighthouse-coil.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	sheet := must.Get(coilsheet.Read(f, "coil.csv")).In(t)
	s := estimation.Session{Log: log.Log}
	if s.Ladder, err = sheet.Drawing().Ladder(); err != nil {
		t.Fatal(err)
	}
	if s.Drawn, err = sheet.Drawing().Predict(readings.Hands(log.Log)...); err != nil {
		t.Fatal(err)
	}
	sessions["drawn"] = session{log, mustFit(t, s)}
	return sessions["drawn"].fit
}

// longNames is a log whose cores have names of many words, or of one without a space.
func longNames() string {
	a, b := "the long rod of ferrite, glued from twelve pieces, third try", strings.Repeat("ferrite", 9)
	return "frequency [MHz],added [pF],core,note\n2.524,,,\n1.635,4.7,,\n1.246,10,,\n" +
		"1.946,,\"" + a + "\",\n1.275,4.7,\"" + a + "\",\n1.846,," + b + ",a note as long as a note may be where somebody had time to write one\n1.210,4.7," + b + ",\n"
}

// written returns the page of r.
func written(t *testing.T, r *model.Result) string { return writtenBy(t, r, Source{}) }

// writtenBy returns the page of r, with what else src has.
func writtenBy(t *testing.T, r *model.Result, src Source) string {
	t.Helper()
	const tolerance = 0.05
	src.Source = report.Source{Log: "bench/lighthouse.csv", SHA256: strings.Repeat("0123456789abcdef", 4)}
	src.Comments = []string{"date: 12 November", "operator: M. Lindqvist", "Cover closed,", "probe at the foot."}
	src.Command, src.Flags, src.Version = "fitcoil report bench/lighthouse.csv -o page.html", "--tolerance 5%", "v0.0.0"
	src.NewPart = NewPart{tolerance, tolerance * benchlog.BoundToStandard}
	var b bytes.Buffer
	must.Do(t, Write(&b, r, src))
	return b.String()
}

func BenchmarkWrite(b *testing.B) {
	text := must.Get(os.ReadFile("../../testdata/lighthouse.csv")).In(b)
	for b.Loop() {
		log := must.Get(benchlog.Read(bytes.NewReader(text), "lighthouse.csv", benchlog.Options{})).In(b)
		r := must.Get(model.Fit(estimation.Session{Log: log.Log})).In(b)
		must.Do(b, Write(io.Discard, r, Source{NewPart: NewPart{0.05, 0.05 * benchlog.BoundToStandard}}))
	}
}
