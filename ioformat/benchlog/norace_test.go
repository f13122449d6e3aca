//go:build !race

package benchlog

const raceDetector = false
