//go:build !race

package repeat

// Race tells that the race detector watches.
const Race = false
