package model

const raceDetector = false
