package estimation

import (
	"errors"
	"fmt"
	"iter"
	"math"
	"slices"

	"fitcoil/fit"
	"fitcoil/model/drawing"
	"fitcoil/model/field"
	"fitcoil/model/forward"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/resonator"
)

// Session is all that goes into one fit.
type Session struct {
	Log    readings.Log
	Known  []quantities.Known
	Lumped bool           // force the lumped model: all capacitance at the top
	Ladder *field.Ladder  // of the winding, where its shape is known: it then replaces the line
	Drawn  *drawing.Drawn // what the drawing says, where there is one: its values enter as known
	Robust bool           // Huber's loss, so that a single misread value pulls less

	Earlier []Earlier // what earlier sessions say of the coil

	Open  []string // known values of these quantities don't count
	Alike float64  // autocorrelation of the readings' errors
	wide  float64  // factor on the tolerances of parts; 0: 1
}

// ErrNoReadings means that no reading is left to fit.
var ErrNoReadings = errors.New("no reading is marked for use")

// NotConvergedError means that the fit found no minimum it could vouch for. Raised are the lines of two
// readings that may be why, see readings.Raised.
type NotConvergedError struct {
	Status fit.Status
	Raised [2]int
}

func (e *NotConvergedError) Error() string {
	return fmt.Sprintf("the fit did not converge: %v", e.Status)
}

func resonatorName(s Session) string {
	switch {
	case s.Lumped:
		return "lumped"
	case s.Ladder != nil:
		return "ladder"
	}
	return "line"
}

// Resonator makes the resonator of s.
func (s Session) Resonator() resonator.Resonator {
	if s.Lumped || s.Ladder == nil {
		return &resonator.Line{}
	}
	return resonator.NewLadder(s.Ladder, s.Drawn.KnownCore())
}

// Counts is the factor on all readings' uncertainties where neighbours err alike.
func (s *Session) Counts() float64 { return math.Sqrt((1 + s.Alike) / (1 - s.Alike)) }

// SolverSettings returns how s is to be solved.
func SolverSettings(s Session) fit.Settings {
	settings := fit.Settings{Offset: Offset, FirstRadius: firstRadius}
	if s.Robust {
		settings.Loss = fit.Redescending(readings.Huber, biweight)
	}
	return settings
}

// Offset is how far a fit may stop from its minimum, in standard uncertainties: a
// hundredth of the last digit printed.
const Offset = 1e-3

// firstRadius keeps the first step within about one unit of the logarithms that
// the unknowns are, whose size is that of ln(1 pF) = −28.
const firstRadius = 0.03

// patience is the number of steps for the last attempt at readings that leave a
// long curved valley, which a solver walks in small steps.
const patience = 5000

// biweight is the corner of the loss that a robust fit ends with, in standard
// uncertainties: likewise 95 % (from memory).
const biweight = 4.685

// AllInOfPart returns the line of the first reading that has the core drawn all in, where that is drawn along a
// part of the winding; 0 for none.
func (s *Session) AllInOfPart() (line int) {
	if s.Drawn == nil || s.Drawn.Core == nil {
		return 0
	}
	if _, _, allIn := s.Drawn.Beads(); allIn {
		return 0
	}
	for i := range s.Log.Readings {
		if o := &s.Log.Readings[i]; o.Use && o.Core == s.Drawn.Drawing.Core && o.From == 0 && o.To == 1 {
			return o.Line
		}
	}
	return 0
}

// earlier is what s has of earlier sessions for its unknowns.
func (s *Session) earlier() (e forward.Earlier) {
	for i := range s.Earlier {
		e.States = append(e.States, s.Earlier[i].States...)
		e.Benches = max(e.Benches, s.Earlier[i].Bench)
	}
	return e
}

// StatesRead lists the states of the readings used, and of those of earlier sessions.
func (s *Session) StatesRead() iter.Seq[*readings.State] {
	lists := []iter.Seq[*readings.State]{s.Log.Used()}
	for i := range s.Earlier {
		lists = append(lists, readings.Each(s.Earlier[i].States))
	}
	return readings.All(lists...)
}

// Follow has s follow an earlier session, whose parts and cores go by the names of this one:
// parts that the log of s doesn't have join it, as they were stated then, and so does the value
// of one that has none here. Known values join those of s, one that both have only once.
func (s *Session) Follow(e Earlier) {
	s.Log.Parts = slices.Clone(s.Log.Parts)
	index := make([]int, len(e.Parts))
	for i, part := range e.Parts {
		at := slices.IndexFunc(s.Log.Parts, func(p readings.Part) bool { return p.Name == part.Name })
		switch {
		case at < 0:
			at = len(s.Log.Parts)
			s.Log.Parts = append(s.Log.Parts, part)
		case !s.Log.Parts[at].Known:
			s.Log.Parts[at] = part
		}
		index[i] = at
	}
	e.States = slices.Clone(e.States)
	for i := range e.States {
		list := make([]int, len(e.States[i].Parts))
		for k, p := range e.States[i].Parts {
			list[k] = index[p]
		}
		e.States[i].Parts = list
	}
	for _, k := range e.Known {
		if !slices.Contains(s.Known, k) {
			s.Known = append(slices.Clip(s.Known), k)
		}
	}
	e.root = e.whiten()
	s.Earlier = append(slices.Clip(s.Earlier), e)
}
