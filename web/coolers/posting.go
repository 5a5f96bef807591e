package coolers

import (
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"strings"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/logger"
	"coldrail/web/ui"
)

// TakeReadings serves POST /readings, where a sensor sends what it read:
//
//	curl -H "Authorization: Bearer TOKEN" -H "Content-Type: application/json" \
//	  -d '[{"at":"2026-11-07T19:10:00-05:00","f":36.5}]' http://SHOP/readings
//
// Each reading has its time, with an offset or Z, and its temperature as c or as
// f. One post takes 5,000 readings and a megabyte, one address 600 posts a
// minute. A post without an answer is sent again as it is: a reading of the same
// instant and value is kept once. 200: how many are new, known before, left out
// of the record and refused, each with why; 400: no list of readings; 401: no
// such token; 413: too large; 429: too often.
func (p *Pages) TakeReadings(w http.ResponseWriter, r *http.Request) error {
	text, err := io.ReadAll(r.Body)
	if tooLarge := (*http.MaxBytesError)(nil); errors.As(err, &tooLarge) {
		http.Error(w, "That is more than one post takes. Send the readings in pieces.", http.StatusRequestEntityTooLarge)
		return nil
	} else if err != nil {
		return err
	}
	rows, refused, wrong := logger.ParsePost(text, p.Now())
	token, _ := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	kept, known, err := p.DB.KeepPosted(r.Context(), token, rows, p.Now())
	switch {
	case err != nil:
		return err
	case !known:
		http.Error(w, "No sensor has that token. It is made in the office.", http.StatusUnauthorized)
	case wrong != nil:
		http.Error(w, domain.As(wrong).Error(), http.StatusBadRequest)
	default:
		return answer(w, r, kept, refused)
	}
	return nil
}

// postedAnswer is what a sensor is told.
type postedAnswer struct {
	New     int        `json:"new"`
	Known   int        `json:"known"`
	LeftOut []leftOut  `json:"left_out"` // kept as sent, but not in the room's record
	Refused []refusedN `json:"refused"`  // not kept
}

type leftOut struct {
	Readings int    `json:"readings"`
	Why      string `json:"why"`
}

type refusedN struct {
	Reading int    `json:"reading"` // its place in the list, from 1
	Why     string `json:"why"`
}

func answer(w http.ResponseWriter, r *http.Request, kept db.Posted, refused []logger.Refused) error {
	a := postedAnswer{New: kept.New, Known: kept.Known, LeftOut: []leftOut{}, Refused: []refusedN{}}
	for _, f := range logger.Flags {
		if n := kept.LeftOut[f]; n > 0 {
			a.LeftOut = append(a.LeftOut, leftOut{n, ui.Say(r.Context(), f.Words())})
		}
	}
	for _, x := range refused {
		a.Refused = append(a.Refused, refusedN{x.N, ui.Say(r.Context(), x.Why)})
	}
	w.Header().Set("Content-Type", "application/json")
	return json.NewEncoder(w).Encode(a)
}
