package benchlog

import "math"

// IsSweep tells whether the rows are a sweep of the drive across one resonance, and no
// readings of it: at least five frequencies of one state, each above the one before (or
// each below), whose amplitudes rise to a peak and fall again. Repeats of one reading
// scatter instead, and their amplitudes hardly change.
func (l *Log) IsSweep() bool {
	const fewest, leastPeak = 5, 1.3 // rows; the peak over the smaller end
	n := len(l.Readings)
	if n < fewest || l.Count() != n {
		return false
	}
	up := l.Readings[n-1].Frequency > l.Readings[0].Frequency
	peak := 0
	for i := range l.Readings {
		r := &l.Readings[i]
		switch {
		case math.IsNaN(r.Amplitude) || r.Condition() != l.Readings[0].Condition() || len(r.Parts) > 0 || r.Clip:
			return false
		case i > 0 && (r.Frequency > l.Readings[i-1].Frequency) != up:
			return false
		case r.Amplitude > l.Readings[peak].Amplitude:
			peak = i
		}
	}
	top := l.Readings[peak].Amplitude
	if peak == 0 || peak == n-1 || !(top > leastPeak*l.Readings[0].Amplitude && top > leastPeak*l.Readings[n-1].Amplitude) {
		return false
	}
	for i := 1; i < n; i++ { // but for scatter of a twentieth
		rise := l.Readings[i].Amplitude - l.Readings[i-1].Amplitude
		if i <= peak && rise < -0.05*top || i > peak && rise > 0.05*top {
			return false
		}
	}
	return true
}
