package readings

import "math"

// moment returns when reading i was taken, in hours or in readings.
func (l *Log) moment(i int) float64 {
	if l.Moments != nil {
		return l.Moments[i]
	}
	return float64(i)
}

// Span returns the moments of the first and the last reading used.
func (l *Log) Span() (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for i := range l.Readings {
		if l.Readings[i].Use {
			from, to = math.Min(from, l.moment(i)), math.Max(to, l.moment(i))
		}
	}
	return from, to
}

// RelativeMoments returns when each reading was taken, from −½ for the first one used to ½ for the
// last.
func (l *Log) RelativeMoments() []float64 {
	from, to := l.Span()
	out := make([]float64, len(l.Readings))
	if !(to > from) {
		return out
	}
	for i := range out {
		out[i] = (l.moment(i)-from)/(to-from) - 0.5
	}
	return out
}
