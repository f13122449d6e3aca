//go:build race

package benchlog

const raceDetector = true
