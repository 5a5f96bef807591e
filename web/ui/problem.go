package ui

import (
	"context"
	"net/http"

	"coldrail/domain"
)

// ShowProblem answers a request that went wrong: for htmx a few lines that go
// into the page's problem line, else a page of its own. ref is the reference
// under which the log has more; it is shown when the fault is ours.
func ShowProblem(w http.ResponseWriter, r *http.Request, status int, e *domain.Error, ref string) {
	page := problemPage(e, ref)
	if r.Header.Get("HX-Request") == "true" {
		page = problemLines(e, ref)
	}
	w.Header().Set("Cache-Control", "no-store")
	if err := Render(w, r, status, page); err != nil {
		http.Error(w, e.Error(), status)
	}
}

// problemTitle says in two or three words what kind of problem it is.
func problemTitle(ctx context.Context, kind domain.Kind) string {
	switch kind {
	case domain.Invalid:
		return T(ctx, "Please check")
	case domain.NotFound:
		return T(ctx, "Not found")
	case domain.Conflict:
		return T(ctx, "Somebody was first")
	case domain.Refused:
		return T(ctx, "Not now")
	}
	return T(ctx, "That did not work")
}
