package wording

import (
	"strconv"

	"fitcoil/ioformat/quantity"
)

// Lines names lines of a log, not all of many: "line 4", "lines 4, 7 and 9".
func Lines(list []int) string {
	const most = 8
	var words []string
	for i, n := range list {
		if i == most && len(list) > most+1 {
			words = append(words, strconv.Itoa(len(list)-most)+" more")
			break
		}
		words = append(words, strconv.Itoa(n))
	}
	if len(words) == 1 {
		return "line " + words[0]
	}
	return "lines " + quantity.Listed(words, "and")
}
