package waveform

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fitcoil/internal/must"
	"fitcoil/model/ringing"
)

// FuzzRead feeds whatever to the reader: it must answer with a capture whose
// samples are numbers at a positive interval, or with lines that name the file.
func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"broken/capture/*.csv", "captures/*"} {
		files, err := filepath.Glob("../../testdata/" + pattern)
		if err != nil || len(files) == 0 {
			f.Fatal(pattern, err)
		}
		for _, file := range files {
			content := must.Get(os.ReadFile(file)).In(f)
			f.Add(content[:min(len(content), 3000)], "", 0.0)
		}
	}
	f.Add([]byte("Time [s],CH1 [V]\n"+table(pair(","))), "CH1", 4e-9)
	f.Fuzz(func(t *testing.T, content []byte, column string, interval float64) {
		file, err := Read(bytes.NewReader(content), "scope.csv", Options{Column: column, Interval: interval})
		if err != nil {
			for line := range strings.SplitSeq(err.Error(), "\n") {
				if !strings.HasPrefix(line, "scope.csv:") && !strings.HasPrefix(line, "and ") {
					t.Errorf("line %q", line)
				}
			}
			return
		}
		if file.Sweep == nil && len(file.Captures) == 0 {
			t.Error("neither a capture nor a sweep")
		}
		for _, c := range file.Captures {
			hold(t, c.Signal)
		}
	})
}

// hold checks what Read promises of a signal.
func hold(t *testing.T, s ringing.Signal) {
	if !(s.Interval > 0) || math.IsInf(s.Interval, 0) || math.IsNaN(s.Start) || !(s.IntervalUncertainty >= 0) || len(s.Samples) < fewestRows {
		t.Errorf("%d samples from %g s every %g ± %g s", len(s.Samples), s.Start, s.Interval, s.IntervalUncertainty)
	}
	for i, y := range s.Samples {
		if !(math.Abs(y) < overload) {
			t.Errorf("sample %d is %g", i, y)
		}
	}
	if _, err := ringing.Analyse(s, ringing.Settings{Columns: 10}); err != nil && err.Error() == "" {
		t.Error("a refusal without words")
	}
}
