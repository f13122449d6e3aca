package ringing

import (
	"fmt"
	"strconv"
)

// Reason says why a capture gives no frequency.
type Reason int

// Reasons for a refusal.
const (
	TooFewSamples Reason = iota
	BadInterval
	NotFinite
	Flat
	NoTone
	TooFewCycles
	TooMuchClipped
	NoFit
)

// Refusal is the error of a capture that does not determine a frequency.
type Refusal struct {
	Reason    Reason
	Got, Need float64 // what there was and what there should be, in the unit of the reason
	Index     int     // of the sample concerned, from 0
	Short     Short   // why there are too few cycles
}

// Short says why there are too few cycles.
type Short int

// Reasons for few cycles, each with a remedy of its own.
const (
	RecordEnds Short = iota // a tone goes on behind the end
	Dies                    // the ring has died away
	Slow                    // the strongest thing in the capture is slow: a tone, a step or a drift
	Over                    // what stands out is over before it has swung
)

func (r *Refusal) Error() string {
	switch r.Reason {
	case TooFewSamples:
		return fmt.Sprintf("%s samples, at least %s are needed; capture a longer stretch", short(r.Got), short(r.Need))
	case BadInterval:
		return fmt.Sprintf("the sample interval is %s s, expected a time above 0; give the interval of the capture", short(r.Got))
	case NotFinite:
		return fmt.Sprintf("sample %d is %s, expected a voltage; the scope marks overflow or a missing point this way: lower its sensitivity and capture again", r.Index+1, short(r.Got))
	case Flat:
		return "all samples are equal: there is no signal; check the probe and the trigger"
	case NoTone:
		if r.Got == 0 {
			return "no tone stands out of the noise; bring the probe closer or average on the scope"
		}
		return fmt.Sprintf("no tone stands out of the noise (the best candidate is %s times its own uncertainty, %s are asked for); bring the probe closer or average on the scope", short(r.Got), short(r.Need))
	case TooFewCycles:
		switch r.Short {
		case Dies:
			return fmt.Sprintf("the ring has died away after %s cycles, at least %s are needed; let less damp the coil (a probe farther away, no load), or bring the probe closer if noise covers the rest", short(r.Got), short(r.Need))
		case Over:
			return fmt.Sprintf("what stands out of the noise is over before it has swung %s times; let less damp the coil (a probe farther away, no load), or choose a faster time base if the ring is only a few samples long", short(r.Need))
		case Slow:
			return fmt.Sprintf("nothing in the capture stands out but what makes %s cycles in it, at least %s are needed; if that is the coil's tone, choose a slower time base; if it is a step or a drift with the ring on it, choose a faster one and fewer volts per division, and let the record begin behind the step (trigger delay), so that the ring fills the screen", short(r.Got), short(r.Need))
		}
		return fmt.Sprintf("only %s cycles can be seen, at least %s are needed; choose a slower time base, or let the coil ring longer", short(r.Got), short(r.Need))
	case TooMuchClipped:
		return fmt.Sprintf("%s %% of the samples are flat at the top or the bottom: a clipped or a square signal; choose more volts per division and capture again", short(100*r.Got))
	case NoFit:
		return "no steady or decaying sine fits the capture; look at the trace: it should be one coil that rings freely for three cycles or more"
	}
	return "the capture gives no frequency"
}

// short writes three significant digits: a refusal needs no more.
func short(x float64) string { return strconv.FormatFloat(x, 'g', 3, 64) }
