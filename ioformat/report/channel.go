package report

import (
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/waveform"
	"fitcoil/model/ringing"
)

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
