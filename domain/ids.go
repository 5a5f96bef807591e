package domain

import (
	"fmt"
	"strings"
)

// ShopNumber is the number of one animal, as printed on its roll tag: season,
// running number and check digit, such as "26-0147-3". It is the animal's name
// in the shop and never used twice.
type ShopNumber string

// NewShopNumber makes the number of the running-th tag of a season (0 to 99).
// Running is 1 to 9999; a number outside either range returns "".
func NewShopNumber(season, running int) ShopNumber {
	if season < 0 || season > 99 || running < 1 || running > 9999 {
		return ""
	}
	digits := fmt.Sprintf("%02d%04d", season, running)
	return ShopNumber(fmt.Sprintf("%s-%s-%d", digits[:2], digits[2:], checkDigit(digits)))
}

// ParseShopNumber reads a number as typed or scanned: seven digits, with or
// without dashes and spaces. A wrong check digit is an Invalid error at field at.
func ParseShopNumber(at, typed string) (ShopNumber, error) {
	digits := strings.NewReplacer("-", "", " ", "").Replace(strings.TrimSpace(typed))
	if digits == "" {
		return "", Wrong(at, "Type or scan the number on the tag.")
	}
	if len(digits) != 7 || strings.Trim(digits, "0123456789") != "" {
		return "", Wrong(at, "%s is not a tag number. A tag has seven digits, such as 26-0147-3.", typed)
	}
	if int(digits[6]-'0') != checkDigit(digits[:6]) || digits[2:6] == "0000" {
		return "", Wrong(at, "%s does not add up: one digit is wrong. Read the tag again.", typed)
	}
	return ShopNumber(digits[:2] + "-" + digits[2:6] + "-" + digits[6:]), nil
}

// Digits returns the seven digits without dashes, as they stand in a barcode.
func (n ShopNumber) Digits() string { return strings.ReplaceAll(string(n), "-", "") }

// Short returns the part people say aloud: "0147" of "26-0147-3".
func (n ShopNumber) Short() string {
	if len(n) < 7 {
		return string(n)
	}
	return string(n[3:7])
}

// Season returns the two-digit season the tag belongs to.
func (n ShopNumber) Season() int {
	var season int
	if _, err := fmt.Sscanf(string(n), "%2d-", &season); err != nil {
		return 0
	}
	return season
}

// checkDigit is the check digit of ISO/IEC 7064 MOD 11,10 (hybrid system). It
// finds every wrong digit and nearly every swap of neighbours.
func checkDigit(digits string) int {
	product := 10
	for _, d := range digits {
		sum := (int(d-'0') + product) % 10
		if sum == 0 {
			sum = 10
		}
		product = sum * 2 % 11
	}
	return (11 - product) % 10
}
