package waveform

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// shuffled is a capture in a layout put together at random from what
// instruments write. Invented.
type shuffled struct {
	text     string
	interval float64 // s
	tells    bool    // the file tells interval and units without a doubt
}

func shuffle(rng *rand.Rand) shuffled {
	pick := func(list ...string) string { return list[rng.IntN(len(list))] }
	s := shuffled{interval: []float64{1e-10, 4e-10, 2e-9, 2.5e-8, 1e-7, 4e-6, 1e-4}[rng.IntN(7)]}
	delimiter := pick(",", ",", ";", "\t")
	decimal := "."
	if delimiter != "," && rng.IntN(2) == 0 {
		decimal = ","
	}
	number := func(format string, x float64) string { return strings.Replace(fmt.Sprintf(format, x), ".", decimal, 1) }
	unit := pick("s", "ms", "us", "ns")
	size := map[string]float64{"s": 1, "ms": 1e-3, "us": 1e-6, "ns": 1e-9}[unit]
	comment := pick("", "", "# ", "% ")
	between := delimiter
	if comment != "" {
		between = ": "
	}
	var b strings.Builder
	line := func(cells ...string) { b.WriteString(comment + strings.Join(cells, between) + "\n") }
	line(pick("Model", "Instrument"), "bench scope")
	if rng.IntN(2) == 0 {
		line("Record Length", fmt.Sprint(shuffledRows))
	}
	if rng.IntN(3) == 0 { // what cursors and screens show
		line(pick("Delta T", "Interval", "Sample time", "ΔT", "Horizontal Scale"), number("%.3g", s.interval*37)+" s")
	}
	times, inSettings := rng.IntN(4) > 0, rng.IntN(3) == 0
	header := pick("brackets", "row", "none")
	stated := rng.IntN(5)
	switch stated {
	case 1:
		line("Sample Interval", number("%.4g", s.interval/size)+" "+unit)
	case 2:
		line(pick("Sample Interval", "X increment"), number("%.6e", s.interval/size))
	case 3:
		line("Sample Rate", number("%.6g", 1e-6/s.interval)+" MSa/s")
	}
	if inSettings {
		line(pick("Horizontal Units", "Time unit"), unit)
		line("Vertical Units", "V")
	}
	if times {
		s.tells = header != "none" || inSettings || stated == 1 || stated == 3
	} else {
		s.tells = stated == 1 || stated == 3 || stated == 2 && (inSettings || s.interval/size < mustBeSeconds && size == 1)
	}
	channels := 1 + rng.IntN(3)
	var names, units []string
	if times {
		names, units = append(names, pick("Time", "t", "x-axis")), append(units, unit)
	}
	for c := range channels {
		names, units = append(names, fmt.Sprintf("%s%d", pick("CH", "Channel "), c+1)), append(units, "V")
	}
	switch header {
	case "brackets":
		for i := range names {
			names[i] += " [" + units[i] + "]"
		}
		b.WriteString(strings.Join(names, delimiter) + "\n")
	case "row":
		b.WriteString(strings.Join(names, delimiter) + "\n" + strings.Join(units, delimiter) + "\n")
	default:
		b.WriteString(strings.Join(names, delimiter) + "\n")
	}
	b.WriteString(pick("", "", "\n"))
	form := pick("%.9e", "%.12g", "%.15f")
	for i := range shuffledRows {
		var row []string
		if times {
			row = append(row, number(form, float64(i-20)*s.interval/size))
		}
		for c := range channels {
			row = append(row, number("%.4f", math.Sin(0.6*float64(i))/float64(1+c)))
		}
		b.WriteString(strings.Join(row, delimiter) + "\n")
	}
	s.text = b.String()
	return s
}

const shuffledRows = 120

// Whatever the layout, the interval is right or the file is refused, and read
// when the remedy is followed; and it is read at once where it tells all.
func TestShuffled(t *testing.T) {
	const files = 400
	read, refused := 0, 0
	for seed := range uint64(files) {
		s := shuffle(rand.New(rand.NewPCG(seed, 16)))
		f, err := Read(strings.NewReader(s.text), "scope.csv", Options{})
		head := strings.Join(strings.SplitAfterN(s.text, "\n", 14)[:13], "")
		if err != nil {
			if refused++; s.tells {
				t.Errorf("seed %d: %v\n%s", seed, err, head)
			}
			if !strings.Contains(err.Error(), "--interval") {
				t.Errorf("seed %d: %v: offers no remedy\n%s", seed, err, head)
			}
			why := err
			if f, err = Read(strings.NewReader(s.text), "scope.csv", Options{Interval: s.interval}); err != nil {
				t.Errorf("seed %d: %v; with the interval given: %v\n%s", seed, why, err, head)
				continue
			}
			read--
		}
		read++
		for _, c := range f.Captures {
			if rel := math.Abs(c.Signal.Interval/s.interval - 1); rel > 1e-3 || len(c.Signal.Samples) != shuffledRows {
				t.Errorf("seed %d: %s every %g s, %d samples, want %g s (%q)\n%s", seed, c.Column, c.Signal.Interval, len(c.Signal.Samples), s.interval, c.Notes, head)
			}
		}
		if t.Failed() && seed > 50 {
			break
		}
	}
	t.Logf("%d read, %d refused", read, refused)
	if read < files/2 {
		t.Errorf("only %d of %d are read", read, files)
	}
}
