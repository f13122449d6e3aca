package readings

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
