package benchlog

import (
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/forward"
)

// Share says how much of a tolerance parts of one lot have in common.
type Share int

// Shares.
const (
	Unsaid Share = iota // model.CommonShare of the variance
	Own                 // nothing: they err apart
	Common              // all: parts of one reel, settings of one decade box, values read at one meter
)

// String returns the word that a log has for s.
func (s Share) String() string { return [...]string{"unsaid", "own", "common"}[s] }

// common returns the share of the variance.
func (s Share) common() float64 { return [...]float64{forward.CommonShare, 0, 1}[s] }

// ParseShare reads one of the words.
func ParseShare(word string) (Share, bool) {
	for _, s := range []Share{Own, Common} {
		if strings.EqualFold(word, s.String()) {
			return s, true
		}
	}
	return Unsaid, false
}

// CutShare cuts the word off that may stand behind a tolerance, as in "5 % common".
func CutShare(text string) (tolerance string, s Share) {
	trimmed := quantity.Trim(text)
	at := strings.LastIndexAny(trimmed, " %")
	if s, ok := ParseShare(trimmed[at+1:]); ok {
		return quantity.Trim(trimmed[:at+1]), s
	}
	return text, Unsaid
}
