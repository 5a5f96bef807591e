package round

// Guesses are three numbers in a row to choose from after counting a rail, one of
// them what the list says. Which of the three it is changes with turn, so that
// the middle one is no hint and a person has to count.
func Guesses(listed, turn int) [3]int {
	if turn < 0 {
		turn = -turn
	}
	first := max(0, listed-turn%3)
	return [3]int{first, first + 1, first + 2}
}
