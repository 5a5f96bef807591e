package ui

import (
	"net/http"

	"coldrail/domain"

	"github.com/go-chi/chi/v5"
)

// ShopNumber reads the animal's number from the address, typed with or without
// its dashes; one that does not add up is left as it is and names no animal.
func ShopNumber(r *http.Request) domain.ShopNumber {
	typed := chi.URLParam(r, "number")
	if n, err := domain.ParseShopNumber("number", typed); err == nil {
		return n
	}
	return domain.ShopNumber(typed)
}
