//go:build race

package ringing

const raceDetector = true
