package domain

import (
	"fmt"
	"strconv"
	"strings"
)

// BoxCode is the text in the barcode of a box: the seven digits of the animal's
// number and which box it is, such as "2601473-2".
func BoxCode(animal ShopNumber, box int) string { return fmt.Sprintf("%s-%d", animal.Digits(), box) }

// ParseBoxCode reads a box label as scanned or typed: the number on the tag and
// the number of the box, with anything but a digit between them or nothing. A
// label that cannot be read is an Invalid error at field at.
func ParseBoxCode(at, typed string) (ShopNumber, int, error) {
	digits := strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, typed)
	if len(digits) < 8 || len(digits) > 9 {
		return "", 0, Wrong(at, "%q is not the label of a box. It has the tag's number and the box, such as 26-0147-3 box 2.", strings.TrimSpace(typed))
	}
	number, err := ParseShopNumber(at, digits[:7])
	if err != nil {
		return "", 0, err
	}
	box, err := strconv.Atoi(digits[7:])
	if err != nil || box < 1 {
		return "", 0, Wrong(at, "Boxes are counted from 1. Read the label again.")
	}
	return number, box, nil
}
