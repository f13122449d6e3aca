//go:build !race

package ringing

const raceDetector = false
