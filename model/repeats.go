package model

// Repeats tells of the readings of one state behind their mean.
type Repeats struct {
	Count           int
	Last            int     // line of the last; the Line of the mean is that of the first
	Deviation       float64 // Hz, experimental standard deviation of one reading (JCGM 100:2008, 4.2.2)
	Slow            float64 // uncertainty of the mean over what it were if each reading varied by itself, ≥ 1
	Wanders         bool    // they vary so slowly that no mean settles: its uncertainty is that of a stretch
	Lowest, Highest Extreme
}

// Extreme is the lowest or the highest of repeated readings.
type Extreme struct {
	Line      int
	Frequency float64 // Hz
}

// Count is the number of readings that r stands for.
func (r *Reading) Count() int {
	if r.Repeats == nil {
		return 1
	}
	return r.Repeats.Count
}

// Count is the number of readings in log, those behind means counted.
func (log *Log) Count() (n int) {
	for i := range log.Readings {
		n += log.Readings[i].Count()
	}
	return n
}
