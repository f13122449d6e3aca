package estimation

import (
	"errors"
	"fmt"
	"math"

	"fitcoil/fit"
	"fitcoil/model/drawing"
	"fitcoil/model/field"
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
