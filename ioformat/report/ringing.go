package report

import (
	"errors"
	"fmt"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/waveform"
	"fitcoil/model/ringing"
)

// notes say what those on a capture mean; {a} and {b} are their first two numbers, in three digits,
// {a Hz} one with its unit.
var notes = map[ringing.NoteKind]string{
	ringing.Beating:        "two near tones beat at {a Hz} (amplitude ratio {b}): two coupled circuits, or two modes; both are listed, the stronger one first",
	ringing.MayBeAliased:   "only {a} samples per cycle: a tone of {b Hz} would look the same; capture again with a faster time base: a true tone stays where it is",
	ringing.FoldedHarmonic: "harmonic {a} is seen folded at {b Hz}: the capture is sampled too slowly for what the scope lets through",
	ringing.Clipped:        "{a} clipped samples were left out; choose more volts per division",
	ringing.FirstSkipped:   "the first {a} cycles don't follow the decay and were left out",
	ringing.Misfit:         "the trace doesn't follow a decaying sine from the beginning on: look at the residuals",
	ringing.Coloured:       "the residuals are {a} times as dense at the tone as on average; the uncertainties allow for it",
	ringing.FewSteps:       "the amplitude is only {a} steps of the converter; choose fewer volts per division",
	ringing.Growing:        "the amplitude grows to {a} of what it was: not a free decay, so no quality factor",
	ringing.BurstsDiffer:   "the bursts differ by {a} times what their uncertainties allow; the uncertainty of the mean is scaled by it",
	ringing.Drifting:       "the middle line drifts by {a V} during the burst; the fit follows it",
	ringing.FewDigits:      "the times are written with so few digits that the interval is uncertain by {a} of itself",
	ringing.NotOneSine:     "this isn't one decaying sine: at the beginning the residual is {a} times the noise; half of what start and end of the ring differ by is in the ±",
	ringing.Driven:         "a steady tone is the drive's, or a station's, and says nothing of damping: a self-oscillating driver runs within about f/2Q of the resonance (drive=self), a generator tells it only where it was tuned to the peak (drive=generator); a ring after the drive stops tells frequency and quality factor, and so do captures at seven frequencies of the drive or more, given to one command",
}

// CaptureNote says what a note on a capture means.
func CaptureNote(n ringing.Note) string {
	v, text := n.Values, notes[n.Kind]
	switch {
	case n.Kind == ringing.Beating && v[2] < 1:
		text += "; they make only " + three(v[2]) + " of a beat while they last, so that one ring whose frequency moves, or the average of rings of different frequencies, would look the same"
	case n.Kind == ringing.Coloured && v[0] > ringing.NoUncertainty*ringing.NoUncertainty: // a ratio of powers
		text = "the residuals are {a} times as dense at the tone as on average: this may be no single tone, and the ± too small; look at the residuals"
	case n.Kind == ringing.NotOneSine && v[0] > ringing.NoUncertainty:
		text = "this isn't one decaying sine: at the beginning the residual is {a} times the noise, so that no ± is claimed; look at the residuals for what else is there"
	case n.Kind == ringing.Clipped && v[0] == 1:
		text = "one clipped sample was left out; choose more volts per division"
	case n.Kind == ringing.StartAndEndDiffer:
		text = startAndEnd(v)
	case n.Kind == ringing.BurstsDisagree:
		text = fmt.Sprintf("the bursts ring at different frequencies: those at %s are reported, %s left out, the loudest of them at %s", seven(v[0]), three(v[2]), seven(v[1]))
	}
	in := func(x float64, unit string) string { return quantity.FormatValue(x, 3, unit).String() }
	return strings.NewReplacer("{a}", three(v[0]), "{b}", three(v[1]), "{a Hz}", in(v[0], "Hz"), "{b Hz}", in(v[1], "Hz"), "{a V}", in(v[0], "V")).Replace(text)
}

func startAndEnd(v [4]float64) string {
	s := fmt.Sprintf("the ring is not the same at its start and its end: %s, then %s", seven(v[0]), seven(v[1]))
	if v[2] > 0 && v[3] > 0 {
		s += fmt.Sprintf("; quality factor %s, then %s", three(v[2]), three(v[3]))
	}
	return s + "; a frequency or a loss that moves with the amplitude, a limiter, or a drive that goes on would do this; the end is reported, and half of what still differs is in the ±, where one is given"
}

// CaptureRefused says why a capture gives no frequency, and what to do.
func CaptureRefused(err error) string {
	var r *ringing.Refusal
	if !errors.As(err, &r) {
		return err.Error()
	}
	switch r.Reason {
	case ringing.TooFewSamples:
		return fmt.Sprintf("%s samples, at least %s are needed; capture a longer stretch", three(r.Got), three(r.Need))
	case ringing.BadInterval:
		return fmt.Sprintf("the sample interval is %s s, expected a time above 0; give the interval of the capture", three(r.Got))
	case ringing.NotFinite:
		return fmt.Sprintf("sample %d is %s, expected a voltage; the scope marks overflow or a missing point this way: lower its sensitivity and capture again", r.Index+1, three(r.Got))
	case ringing.Flat:
		return "all samples are equal: there is no signal; check the probe and the trigger"
	case ringing.NoTone:
		if r.Got == 0 {
			return "no tone stands out of the noise; bring the probe closer or average on the scope"
		}
		return fmt.Sprintf("no tone stands out of the noise (the best candidate is %s times its own uncertainty, %s are asked for); bring the probe closer or average on the scope", three(r.Got), three(r.Need))
	case ringing.TooFewCycles:
		switch r.Short {
		case ringing.Dies:
			return fmt.Sprintf("the ring has died away after %s cycles, at least %s are needed; let less damp the coil (a probe farther away, no load), or bring the probe closer if noise covers the rest", three(r.Got), three(r.Need))
		case ringing.Over:
			return fmt.Sprintf("what stands out of the noise is over before it has swung %s times; let less damp the coil (a probe farther away, no load), or choose a faster time base if the ring is only a few samples long", three(r.Need))
		case ringing.Slow:
			return fmt.Sprintf("nothing in the capture stands out but what makes %s cycles in it, at least %s are needed; if that is the coil's tone, choose a slower time base; if it is a step or a drift with the ring on it, choose a faster one and fewer volts per division, and let the record begin behind the step (trigger delay), so that the ring fills the screen", three(r.Got), three(r.Need))
		}
		return fmt.Sprintf("only %s cycles can be seen, at least %s are needed; choose a slower time base, or let the coil ring longer", three(r.Got), three(r.Need))
	case ringing.TooMuchClipped:
		return fmt.Sprintf("%s %% of the samples are flat at the top or the bottom: a clipped or a square signal; choose more volts per division and capture again", three(100*r.Got))
	case ringing.NoFit:
		return "no steady or decaying sine fits the capture; look at the trace: it should be one coil that rings freely for three cycles or more"
	}
	return "the capture gives no frequency"
}

// three writes three significant digits, seven enough of a frequency to tell it from another.
func three(x float64) string     { return quantity.Digits(x, 3) }
func seven(hertz float64) string { return quantity.FormatValue(hertz, 7, "Hz").String() }

// Channel is one voltage of a record with what was found in it, or why
// nothing was.
type Channel struct {
	Capture *waveform.Capture
	Result  *ringing.Result // nil if Err is set
	Err     error
}

// finding says in short what a channel holds.
func (c Channel) finding() string {
	if c.Result == nil {
		why, _, _ := strings.Cut(c.Err.Error(), ";")
		return c.Capture.Title + ": " + why
	}
	f := c.Result.Resonance
	return c.Capture.Title + ": a " + c.Result.Kind.String() + " tone of " + quantity.FormatValue(f.Value, 4, "Hz").String()
}

func channelFindings(list []Channel) string {
	var words []string
	for _, c := range list {
		words = append(words, c.finding())
	}
	return strings.Join(words, "; ")
}

// TookChannel is the note on the voltage that was taken among several.
func TookChannel(list []Channel, at int) string {
	others := append(append([]Channel(nil), list[:at]...), list[at+1:]...)
	rings := "holds a tone"
	if list[at].Result.Kind == ringing.Decay {
		rings = "rings"
	}
	return "only " + list[at].Capture.Title + " " + rings + ", and is taken; " + channelFindings(others)
}

// NoChannel is the error of a record in which no voltage holds a tone.
func NoChannel(list []Channel) string { return "no column holds a tone; " + channelFindings(list) }

// ManyChannels is what is wrong with a record in which several voltages hold a
// tone, and what to do.
func ManyChannels(list []Channel) (problem, do string) {
	var tones []Channel
	for _, k := range list {
		if k.Result != nil {
			tones = append(tones, k)
		}
	}
	return "several columns hold a tone: " + channelFindings(tones),
		"choose that of the probe at the coil, as in --column " + tones[0].Capture.Call
}
