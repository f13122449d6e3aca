package ringing

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

// NoUncertainty is the excess of the residual above which no ± is one: a plain choice, which 3 of
// 623 invented captures exceed (docs/captures.md).
const NoUncertainty = 4
