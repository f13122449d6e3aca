// Package stable sorts. What slices.SortStableFunc and slices.Sort do is compiled anew for each type of element, eight
// kilobytes each: this is compiled once, for the bench page, which is short of room.
package stable

import "sort"

// Sort sorts x by compare, which is as for slices.SortStableFunc; equal elements stay in their order.
func Sort[T any](x []T, compare func(a, b T) int) {
	sort.SliceStable(x, func(i, j int) bool { return compare(x[i], x[j]) < 0 })
}
