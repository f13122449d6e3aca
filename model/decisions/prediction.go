package decisions

import (
	"fitcoil/model/estimation"
	"fitcoil/model/quantities"
	"fitcoil/model/readings"
	"fitcoil/model/voltage"
)

// Prediction is what the fitted model says of a state that may not have been
// read.
type Prediction struct {
	State      readings.State
	Frequency  quantities.Estimate // of the coil itself, "frequency"; the interval is that of the mean
	NewReading [2]float64          // 95 % interval for one new reading [Hz]
	Missing    []Missing           // why the frequency is undetermined
	Outside    []Outside           // in what respects the state lies outside those read
	Nearest    int                 // index in Result.Readings of the reading most like it
	Stress     *voltage.Stress     // where the voltage stands; nil where the winding isn't drawn
	Heats      []estimation.Heat   // what is lost where; none where no quality factor determines it
	Effects    []Effect            // what else the change does; undetermined ones included
}

// Missing names what a state needs and no reading tells of.
type Missing struct {
	Kind StateElement
	Name string
}

// Outside says in which respect a prediction reaches beyond the readings, and
// the range read.
type Outside struct {
	Element   StateElement
	From, To  float64 // range read in that condition; both NaN when the condition was never read
	Predicted float64
}

// StateElement is one respect in which states differ.
type StateElement int

// The elements of a state.
const (
	AddedElement    StateElement = iota // capacitance on the top, F
	CoreElement                         // which core
	CoveredElement                      // fraction covered
	HandElement                         // distance, m
	CombinedElement                     // core and hand at once
	PrimaryElement                      // the primary, with a core or without
	DrawingElement                      // the coil itself, after a rebuild
)

// Effect is a consequence of a state beside its frequency, compared with the
// bare coil.
type Effect struct {
	quantities.Estimate
	Ratio quantities.Estimate // to the bare coil
}
