package waveform

import (
	"fmt"
	"strings"
	"testing"
)

// columnsOf writes rows of one number a column, each as it depends on the row.
func columnsOf(header string, n int, columns ...func(i int) float64) string {
	var b strings.Builder
	b.WriteString(header)
	for i := range n {
		for k, c := range columns {
			if k > 0 {
				b.WriteByte(',')
			}
			fmt.Fprintf(&b, "%.4g", c(i))
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// rising is a column in equal steps.
func rising(start, step float64) func(i int) float64 {
	return func(i int) float64 { return start + step*float64(i) }
}

// swinging is a column of voltages to and fro.
func swinging(i int) float64 { return []float64{0.25, -0.5, 0.75}[i%3] }

// The column of times is known by its name, wherever it stands and though a voltage beside it rises as evenly.
func TestTimesByName(t *testing.T) {
	for _, name := range []string{"time", "Time", "t", "x", "x-axis", "X axis", "timestamp", "times", "relative time", "Zeit", "temps", "tiempo", "tempo", "tijd", "tid", "epoch", "unix time", "#time", "# Time"} {
		c := file(t, columnsOf("CH1,"+name+",CH2\n", 20, rising(0.5, 0.1), rising(0.3e-9, 1e-9), rising(0.7, 0.2)), Options{}).Captures
		if len(c) != 2 || c[0].Column != "CH1" || c[1].Column != "CH2" || c[0].Signal.Samples[1] != 0.6 || c[1].Signal.Samples[1] != 0.9 || fmt.Sprintf("%.6g", c[0].Signal.Interval) != "1e-09" {
			t.Errorf("%s: %+v", name, c)
		}
	}
	for _, name := range []string{"sample", "Samples", "index", "sequence", "point", "points", "no", "No.", "nr", "Nr.", "n", "row", "sample number", "sample no", "sample no.", "data point", "step", "#"} {
		_, err := Read(strings.NewReader("Sample interval,1,us\n"+columnsOf("CH1,"+name+",CH2\n", 20, swinging, func(i int) float64 { return float64(i + i/10) }, swinging)), "scope.csv", Options{})
		want := fmt.Sprintf(`scope.csv:13:2 (column B, %q): the row numbers go on by 2, expected 1; rows are missing, or the capture wasn't sampled evenly: save it again`, name)
		if err == nil || err.Error() != want {
			t.Errorf("%v\nwant %s", err, want)
		}
	}
}

// Without a name the column of times is the first that rises evenly, if another doesn't; one that holds the same belongs
// to it, and one that rises otherwise is a voltage. Twelve rows are the fewest.
func TestTimesByTheirNumbers(t *testing.T) {
	times, ramp, other := rising(0.3e-9, 1e-9), rising(0.5, 0.1), swinging
	for _, c := range []struct {
		n       int
		columns []func(i int) float64
		want    string
	}{
		{12, []func(i int) float64{times, other}, "column B 0.25 -0.5 1e-09"},
		{12, []func(i int) float64{other, times}, "column A 0.25 -0.5 1e-09"},
		{12, []func(i int) float64{times, ramp, other}, "column B 0.5 0.6 1e-09; column C 0.25 -0.5 1e-09"},
		{12, []func(i int) float64{times, times, other}, "column C 0.25 -0.5 1e-09"},
		{12, []func(i int) float64{times, other, times, other}, "column B 0.25 -0.5 1e-09; column D 0.25 -0.5 1e-09"},
		{12, []func(i int) float64{times, ramp}, "column A 3e-10 1.3e-09 0.001; column B 0.5 0.6 0.001"},
		{11, []func(i int) float64{times, other}, "column A 3e-10 1.3e-09 0.001; column B 0.25 -0.5 0.001"},
		{12, []func(i int) float64{rising(5, 1), other}, "column B 0.25 -0.5 0.001"}, // numbers of the rows
		{12, []func(i int) float64{other, other}, "column A 0.25 -0.5 0.001; column B 0.25 -0.5 0.001"},
	} {
		opt := Options{}
		if strings.HasSuffix(c.want, "0.001") {
			opt.Interval = 1e-3
		}
		var got []string
		for _, x := range file(t, columnsOf("", c.n, c.columns...), opt).Captures {
			got = append(got, fmt.Sprintf("%s %.4g %.4g %.4g", x.Column, x.Signal.Samples[0], x.Signal.Samples[1], x.Signal.Interval))
			if len(x.Signal.Samples) != c.n {
				t.Errorf("%d samples of %d", len(x.Signal.Samples), c.n)
			}
		}
		if s := strings.Join(got, "; "); s != c.want {
			t.Errorf("%d rows of %d columns: %s, want %s", c.n, len(c.columns), s, c.want)
		}
	}
}
