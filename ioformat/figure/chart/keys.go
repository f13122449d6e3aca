package chart

import (
	"math"
	"sort"
)

// placedKey is a key with the place of its sample.
type placedKey struct {
	Key
	x, y   float64 // of the sample's middle
	leader []XY    // from the end of the line to the key; page coordinates
}

const (
	sampleWidth = 20.0 // of a line or band
	markWidth   = 10.0
	keyGap      = 12.0
	leaderWidth = 14.0
)

// topKeys lays keys out in rows, and returns where they end.
func (l *layout) topKeys(fonts fonts, keys []Key, y float64) float64 {
	x, any := margin, false
	for _, k := range keys {
		if l.aside(k) {
			continue
		}
		text := fonts.shorten(k.Text, 0.6*l.width, smallSize)
		need := k.sample() + 4 + fonts.textWidth(text, smallSize, false)
		if x > margin && x+need > l.width-margin {
			x, y = margin, y+lineHeight(smallSize)+2
		}
		l.key(k, text, x, y+0.5*lineHeight(smallSize), nil)
		x += need + keyGap
		any = true
	}
	if any {
		y += lineHeight(smallSize) + 2
	}
	return y
}

// aside tells whether a key stands beside the panels: a narrow figure has no room
// there.
func (l *layout) aside(k Key) bool { return k.Aside && l.width >= usualWidth }

// sample is the width of a key's sample.
func (k *Key) sample() float64 {
	switch {
	case k.Line || k.Band || k.Area:
		return sampleWidth
	case k.Ring:
		return 2 * ringRadius
	}
	return markWidth
}

func (l *layout) key(k Key, text string, x, middle float64, leader []XY) {
	l.keys = append(l.keys, placedKey{k, x + k.sample()/2, middle, leader})
	l.texts = append(l.texts, label{x + k.sample() + 4, middle + 0.35*smallSize, left, text, smallSize, false, Ink})
}

// sideWidth is the room that keys need to the right of the panels.
func (l *layout) sideWidth(fonts fonts, keys []Key) (w float64) {
	for _, k := range keys {
		if l.aside(k) {
			text := fonts.shorten(k.Text, 0.25*l.width, smallSize)
			w = math.Max(w, leaderWidth+sampleWidth+4+fonts.textWidth(text, smallSize, false))
		}
	}
	return w
}

// sideKeys places keys beside the ends of their lines, moved apart until none
// covers another, and returns where they end.
func (l *layout) sideKeys(fonts fonts, keys []Key) float64 {
	p := &l.panels[0]
	var list []Key
	for _, k := range keys {
		if l.aside(k) {
			list = append(list, k)
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].At > list[j].At })
	ends := make([]float64, len(list))
	for i, k := range list {
		ends[i] = math.Min(math.Max(p.y(k.At), p.frame.top), p.frame.bottom)
	}
	height := lineHeight(smallSize)
	places := spread(ends, height, p.frame.top+height/2)
	lowest := 0.0
	for i, k := range list {
		x := p.frame.right + leaderWidth
		leader := []XY{{p.frame.right - 2, ends[i]}, {x - 1, places[i]}}
		l.key(k, fonts.shorten(k.Text, 0.25*l.width, smallSize), x, places[i], leader)
		lowest = math.Max(lowest, places[i]+height/2)
	}
	return lowest
}

// spread moves the sorted values at least step apart and not below least, as
// little as it takes in the sum of squares: values that would touch form a block
// around their mean (pool adjacent violators; Barlow et al., Statistical
// Inference under Order Restrictions, 1972).
func spread(values []float64, step, least float64) []float64 {
	type block struct {
		sum   float64 // of value − place within the block
		count int
	}
	var blocks []block
	for i, v := range values {
		blocks = append(blocks, block{v - step*float64(i), 1})
		for n := len(blocks); n > 1; n = len(blocks) {
			a, b := blocks[n-2], blocks[n-1]
			if a.sum/float64(a.count) <= b.sum/float64(b.count) {
				break
			}
			blocks = append(blocks[:n-2], block{a.sum + b.sum, a.count + b.count})
		}
	}
	var out []float64
	for _, b := range blocks {
		for range b.count {
			out = append(out, math.Max(b.sum/float64(b.count), least)+step*float64(len(out)))
		}
	}
	return out
}
