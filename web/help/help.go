// Package help tells each person of the shop how the work is done with the
// program, and the owner of the shop the same on two sheets of paper: one source,
// work.go, and one list of the trade's words, words.go.
package help

import (
	"net/http"
	"slices"

	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"

	"github.com/go-chi/chi/v5"
)

// view is the guides a person reads, theirs first, and the others to turn to.
type view struct {
	Mine   []guide
	Others []guide
}

// Show serves GET /help: how whoever holds the device works.
func Show(w http.ResponseWriter, r *http.Request) error {
	holder := signin.Holder(r.Context()).Staff
	var v view
	for _, g := range guides {
		if slices.Contains(holder.Roles, g.role) {
			v.Mine = append(v.Mine, g)
		} else {
			v.Others = append(v.Others, g)
		}
	}
	return ui.Render(w, r, http.StatusOK, workPage(v))
}

// Paper serves GET /help/{role}: one person's guide as a sheet for the wall, and
// the owner's as the two sheets about the whole shop.
func Paper(w http.ResponseWriter, r *http.Request) error {
	role := chi.URLParam(r, "role")
	at := slices.IndexFunc(guides, func(g guide) bool { return g.role == role })
	switch {
	case at < 0:
		return domain.Missing("Nobody here works as that.")
	case role == "owner":
		return ui.Render(w, r, http.StatusOK, ownerSheets(guides[at]))
	}
	return ui.Render(w, r, http.StatusOK, wallSheet(guides[at]))
}

// ShowWords serves GET /help/words: the words of the trade as they are used here.
func ShowWords(w http.ResponseWriter, r *http.Request) error {
	return ui.Render(w, r, http.StatusOK, wordsPage())
}

// first are the steps of a guide that stand on the owner's sheet too.
func (g guide) first() []step {
	return slices.DeleteFunc(slices.Clone(g.day), func(s step) bool { return !s.key })
}
