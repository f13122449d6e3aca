package benchlog

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/forward"
	"fitcoil/model/readings"
	"fitcoil/stable"
)

// Share says how much of a tolerance parts of one lot have in common, and how their errors are
// distributed.
type Share int

// Shares, and shapes that may be added to one.
const (
	Unsaid Share = iota // forward.CommonShare of the variance
	Own                 // nothing: they err apart
	Common              // all: parts of one reel, settings of one decade box, values read at one meter

	Rectangular Share = 4 // within the bound, and no more is known (JCGM 100:2008, 4.3.7)
	Normal      Share = 8 // the bound is kept by 95 %: what holds where nothing is said
)

const (
	shares = 3 // of the bits
	shapes = Rectangular | Normal
)

// shareWords are what a log calls shares and shapes.
var shareWords = [...]struct {
	word string
	is   Share
}{{"own", Own}, {"common", Common}, {"rectangular", Rectangular}, {"normal", Normal}}

// String returns the words that a log has for s.
func (s Share) String() string {
	var said []string
	for _, w := range shareWords {
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

// parseShare reads one of the words.
func parseShare(word string) (Share, bool) {
	for _, w := range shareWords {
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
		word, ok := parseShare(trimmed[at+1:])
		if !ok || s&shares != 0 && word&shares != 0 || s&shapes != 0 && word&shapes != 0 {
			return text, s
		}
		text, s = quantity.Trim(trimmed[:at+1]), s|word
	}
}

// DefaultTolerance is the relative tolerance of a part when neither the log
// nor Options state one: that of ordinary ceramic capacitors (common practice).
const DefaultTolerance = 0.05

// BoundToStandard turns a tolerance, taken as the bound that 95 % of the parts
// keep, into a standard uncertainty: the quantile of the normal distribution
// (JCGM 100:2008, 4.3.4).
const BoundToStandard = 1 / 1.96

// StandardUncertainty returns the relative standard uncertainty of a part whose
// tolerance is not stated.
func (o Options) StandardUncertainty() float64 {
	switch {
	case o.Exact:
		return 0
	case o.Tolerance == 0:
		return o.Share.Standard(DefaultTolerance)
	}
	return o.Share.Standard(o.Tolerance)
}

// Unused returns the names in o.Parts that none of parts goes by, in the order
// of the alphabet: values given for nothing, most likely by a slip of the pen.
func (o Options) Unused(parts []readings.Part) (names []string) {
	used := map[string]bool{}
	for _, p := range parts {
		used[PartKey(p.Name)] = true
	}
	for _, name := range o.names() {
		if !used[PartKey(name)] {
			names = append(names, name)
		}
	}
	return names
}

// names lists those in o.Parts, in the order of the alphabet.
func (o Options) names() []string {
	names := slices.Collect(maps.Keys(o.Parts))
	stable.Sort(names, cmp.Compare)
	return names
}

// PartKey is the same for all spellings of a part's name or nominal value. Of
// several parts of one value, it is the first that a value is given for.
func PartKey(name string) string {
	if q, err := (quantity.Form{Dimension: quantity.Capacitance}).Parse(name); err == nil {
		return valueKey(q.Value, 1)
	}
	return nameKey(name)
}
