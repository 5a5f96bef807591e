package cooler_test

import (
	"fmt"

	"coldrail/domain"
	"coldrail/domain/cooler"
)

// "If cooling stops now", for twelve deer in a small room with one fan on.
func ExampleWarmup_Passes() {
	room := cooler.Warmup{
		UA: cooler.RoomUA(cooler.Polyurethane, 3.0, 3.6, 2.4), Air: cooler.RoomAir(3.0, 3.6, 2.4), Fan: 150,
		Outside: 25, StartAir: 2, StartMeat: 2, Animals: 12, Animal: 40,
	}
	pass := room.Passes(domain.Fahrenheit(40))
	fmt.Printf("air past 40 °F in %.0f min, meat on average in %.1f h\n", pass.Air.Minutes(), pass.Meat.Hours())
	// Output: air past 40 °F in 18 min, meat on average in 3.5 h
}
