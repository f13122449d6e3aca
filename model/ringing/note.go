package ringing

import (
	"fmt"
	"strconv"
)

// Note is a caution that travels with a result.
type Note struct {
	Kind   NoteKind
	Values [4]float64
}

// NoteKind tells notes apart.
type NoteKind int

// The notes; in parentheses, what their values mean.
const (
	Beating           NoteKind = iota // (beat frequency in Hz, amplitude ratio, beats while both last)
	MayBeAliased                      // (samples per cycle, the lowest frequency in Hz that would look the same)
	FoldedHarmonic                    // (order, Hz where it is seen)
	Clipped                           // (samples left out)
	FirstSkipped                      // (cycles)
	Misfit                            //
	Coloured                          // (density at the tone over the mean)
	FewSteps                          // (amplitude in steps of the converter)
	Growing                           // (amplitude ratio end to beginning)
	BurstsDiffer                      // (Birge ratio)
	Drifting                          // (V, over the burst)
	FewDigits                         // (relative standard uncertainty of the interval)
	NotOneSine                        // (residual at the beginning over that of noise)
	StartAndEndDiffer                 // (Hz at the start, Hz at the end, Q at the start, Q at the end; 0 where there is none)
	Driven                            // the tone is steady
	BurstsDisagree                    // (Hz of those reported, Hz of another, number left out)
)

// noUncertainty is the excess of the residual above which no ± is one.
const noUncertainty = 4

func (n Note) String() string {
	a, b := short(n.Values[0]), short(n.Values[1])
	switch n.Kind {
	case Beating:
		s := fmt.Sprintf("two near tones beat at %s Hz (amplitude ratio %s): two coupled circuits, or two modes; both are listed, the stronger one first", a, b)
		if n.Values[2] < 1 {
			s += fmt.Sprintf("; they make only %s of a beat while they last, so that one ring whose frequency moves, or the average of rings of different frequencies, would look the same", short(n.Values[2]))
		}
		return s
	case MayBeAliased:
		return fmt.Sprintf("only %s samples per cycle: a tone of %s Hz would look the same; capture again with a faster time base: a true tone stays where it is", a, b)
	case FoldedHarmonic:
		return fmt.Sprintf("harmonic %s is seen folded at %s Hz: the capture is sampled too slowly for what the scope lets through", a, b)
	case Clipped:
		return fmt.Sprintf("%s clipped samples were left out; choose more volts per division", a)
	case FirstSkipped:
		return fmt.Sprintf("the first %s cycles don't follow the decay and were left out", a)
	case Misfit:
		return "the trace doesn't follow a decaying sine from the beginning on: look at the residuals"
	case Coloured:
		if n.Values[0] > noUncertainty*noUncertainty { // a ratio of powers
			return fmt.Sprintf("the residuals are %s times as dense at the tone as on average: this may be no single tone, and the ± too small; look at the residuals", a)
		}
		return fmt.Sprintf("the residuals are %s times as dense at the tone as on average; the uncertainties allow for it", a)
	case FewSteps:
		return fmt.Sprintf("the amplitude is only %s steps of the converter; choose fewer volts per division", a)
	case Growing:
		return fmt.Sprintf("the amplitude grows to %s of what it was: not a free decay, so no quality factor", a)
	case BurstsDiffer:
		return fmt.Sprintf("the bursts differ by %s times what their uncertainties allow; the uncertainty of the mean is scaled by it", a)
	case Drifting:
		return fmt.Sprintf("the middle line drifts by %s V during the burst; the fit follows it", a)
	case FewDigits:
		return fmt.Sprintf("the times are written with so few digits that the interval is uncertain by %s of itself", a)
	case NotOneSine:
		if n.Values[0] > noUncertainty {
			return fmt.Sprintf("this isn't one decaying sine: at the beginning the residual is %s times the noise, so that no ± is claimed; look at the residuals for what else is there", a)
		}
		return fmt.Sprintf("this isn't one decaying sine: at the beginning the residual is %s times the noise; half of what start and end of the ring differ by is in the ±", a)
	case StartAndEndDiffer:
		return startAndEnd(n.Values)
	case Driven:
		return "a steady tone is the drive's, or a station's, and says nothing of damping: a self-oscillating driver runs within about f/2Q of the resonance (drive=self), a generator tells it only where it was tuned to the peak (drive=generator); a ring after the drive stops tells frequency and quality factor, and so do captures at seven frequencies of the drive or more, given to one command"
	case BurstsDisagree:
		return fmt.Sprintf("the bursts ring at different frequencies: those at %s Hz are reported, %s left out, the loudest of them at %s Hz", hertz(n.Values[0]), short(n.Values[2]), hertz(n.Values[1]))
	}
	return ""
}

func startAndEnd(v [4]float64) string {
	s := fmt.Sprintf("the ring is not the same at its start and its end: %s Hz, then %s Hz", hertz(v[0]), hertz(v[1]))
	if v[2] > 0 && v[3] > 0 {
		s += fmt.Sprintf("; quality factor %s, then %s", short(v[2]), short(v[3]))
	}
	return s + "; a frequency or a loss that moves with the amplitude, a limiter, or a drive that goes on would do this; the end is reported, and half of what still differs is in the ±, where one is given"
}

// hertz writes enough digits to tell two frequencies apart.
func hertz(x float64) string { return strconv.FormatFloat(x, 'g', 7, 64) }
