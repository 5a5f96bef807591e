package ui

import (
	"testing"

	"coldrail/domain"

	"golang.org/x/text/language"
)

func TestSpanish(t *testing.T) {
	ctx := InLanguage(shopContext(t), "es-US")
	for _, tt := range []struct{ got, want string }{
		{T(ctx, "%d days", 1), "1 día"},
		{T(ctx, "%d days", 14), "14 días"},
		{T(ctx, "Who holds this device?"), Spanish()["Who holds this device?"]},
		{Say(ctx, domain.Say("Hanging weight: South Dakota State University Extension, 55 to 65 % boneless.")), "Peso en canal: South Dakota State University Extension, de 55 a 65 % sin hueso."},
		{T(ctx, "%d days", 10000), "10,000 días"}, // as numbers are written in the United States, in Spanish too (CLDR es-US)
		{Day(ctx, evening), "sáb 7 nov"},
	} {
		if tt.got != tt.want {
			t.Errorf("%q, want %q", tt.got, tt.want)
		}
	}
	for accept, want := range map[string]string{"es-MX,es;q=0.9,en;q=0.5": "es-US", "en-US,en;q=0.9,es;q=0.8": "en", "de-DE": "en", "": "en", "*;q=nonsense": "en"} {
		if got := ShopOf(ForStranger(WithShop(t.Context(), Shop{Lang: language.English}), accept)).Lang.String(); got != want {
			t.Errorf("a phone that asks for %q is answered in %s, want %s", accept, got, want)
		}
	}
}
