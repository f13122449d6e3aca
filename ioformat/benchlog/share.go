package benchlog

import (
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/forward"
)

// Share says how much of a tolerance parts of one lot have in common, and how their errors are
// distributed.
type Share int

// Shares, and shapes that may be added to one.
const (
	Unsaid Share = iota // model.CommonShare of the variance
	Own                 // nothing: they err apart
	Common              // all: parts of one reel, settings of one decade box, values read at one meter

	Rectangular Share = 4 // within the bound, and no more is known (JCGM 100:2008, 4.3.7)
	Normal      Share = 8 // the bound is kept by 95 %: what holds where nothing is said
)

const (
	shares = 3 // of the bits
	shapes = Rectangular | Normal
)

// shareWord is what a log calls a share or a shape.
type shareWord struct {
	word string
	is   Share
}

func shareWords() [4]shareWord {
	return [...]shareWord{{"own", Own}, {"common", Common}, {"rectangular", Rectangular}, {"normal", Normal}}
}

// String returns the words that a log has for s.
func (s Share) String() string {
	var said []string
	for _, w := range shareWords() {
		if s&shares == w.is || s&shapes == w.is {
			said = append(said, w.word)
		}
	}
	if said == nil {
		return "unsaid"
	}
	return strings.Join(said, " ")
}

// common returns the share of the variance.
func (s Share) common() float64 { return [...]float64{forward.CommonShare, 0, 1}[s&shares] }

// or returns s, with what it leaves unsaid as in other.
func (s Share) or(other Share) Share {
	if s&shares == 0 {
		s |= other & shares
	}
	if s&shapes == 0 {
		s |= other & shapes
	}
	return s
}

// Standard returns the standard uncertainty of a tolerance, the bound of the error.
func (s Share) Standard(bound float64) float64 {
	if s&Rectangular != 0 {
		return bound / math.Sqrt(3)
	}
	return bound * BoundToStandard
}

// ParseShare reads one of the words.
func ParseShare(word string) (Share, bool) {
	for _, w := range shareWords() {
		if strings.EqualFold(word, w.word) {
			return w.is, true
		}
	}
	return Unsaid, false
}

// CutShare cuts the words off that may stand behind a tolerance, as in "5 % common" or
// "1 % own rectangular".
func CutShare(text string) (tolerance string, s Share) {
	for {
		trimmed := quantity.Trim(text)
		at := strings.LastIndexAny(trimmed, " %")
		word, ok := ParseShare(trimmed[at+1:])
		if !ok || s&shares != 0 && word&shares != 0 || s&shapes != 0 && word&shapes != 0 {
			return text, s
		}
		text, s = quantity.Trim(trimmed[:at+1]), s|word
	}
}
