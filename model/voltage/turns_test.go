package voltage

import (
	"testing"

	"fitcoil/internal/near"
)

// Between turns, whose enamel nearly touches, air beside the wire may spark from Paschen's least voltage
// on, less a quarter at radio frequency, however far apart bare wires are; elsewhere the distance counts.
func TestSparkBetweenTurns(t *testing.T) {
	near.To(t, "turns", Gap{Kind: BetweenTurns, Distance: 8.5e-3}.Spark(), 0.75*327, 1e-9)
	near.To(t, "beads", Gap{Kind: BetweenBeads, Distance: 8.5e-3}.Spark(), 0.75*10e3, 1e-9)
}
