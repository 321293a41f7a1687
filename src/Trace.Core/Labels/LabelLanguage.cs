using System.Diagnostics.CodeAnalysis;

namespace Trace.Core.Labels;

/// <summary>The words that a label needs in one language. The label's language is that of the product's market, not of the reader of a
/// screen.</summary>
/// <param name="BestBefore">Lead words when the day is shown.</param>
/// <param name="BestBeforeEnd">Lead words when only month or year is shown.</param>
/// <param name="AfterDay">What follows the number of the day, such as the German full stop.</param>
/// <param name="DecimalPoint">Decimal sign in quantities.</param>
public sealed record LabelLanguage(
    string Code,
    string BestBefore,
    string BestBeforeEnd,
    string AfterDay,
    IReadOnlyList<string> Months,
    char DecimalPoint,
    string Produced,
    string NetWeight,
    string Approval,
    string Print,
    string Reprint,
    string NotForSale,
    string GrossWeight,
    string From,
    string To,
    string Held,
    string Sample)
{
    /// <summary>
    /// Lead words, "published": en and fr, and de with the day, in Regulation (EU) No 1169/2011 Annex X. "From memory": de without the
    /// day, es, pt (the regulation has them; not re-read). id: after a summary of BPOM Regulation 31/2018, which uses one phrase for both.
    /// All other words: from memory, common usage. Have them read by a native speaker before the first print of a new language.
    /// </summary>
    public static IReadOnlyList<LabelLanguage> All { get; } =
    [
        new("en", "best before", "best before end", "",
            ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"],
            '.', "produced", "net weight", "approval no.", "print", "reprint", "TRAINING – NOT FOR SALE",
            "gross weight", "from", "to", "HOLD – DO NOT USE", "SAMPLE – NOT FOR SALE"),
        new("fr", "à consommer de préférence avant le", "à consommer de préférence avant fin", "",
            ["janvier", "février", "mars", "avril", "mai", "juin", "juillet", "août", "septembre", "octobre", "novembre", "décembre"],
            ',', "produit le", "poids net", "agrément", "impression", "réimpression", "EXERCICE – VENTE INTERDITE",
            "poids brut", "de", "à", "BLOQUÉ – NE PAS UTILISER", "ÉCHANTILLON – VENTE INTERDITE"),
        new("de", "mindestens haltbar bis", "mindestens haltbar bis Ende", ".",
            ["Januar", "Februar", "März", "April", "Mai", "Juni", "Juli", "August", "September", "Oktober", "November", "Dezember"],
            ',', "hergestellt am", "Nettogewicht", "Zulassung", "Druck", "Nachdruck", "ÜBUNG – NICHT ZUM VERKAUF",
            "Bruttogewicht", "von", "an", "GESPERRT – NICHT VERWENDEN", "PROBE – NICHT ZUM VERKAUF"),
        new("es", "consumir preferentemente antes del", "consumir preferentemente antes del fin de", "",
            ["enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre"],
            ',', "producido el", "peso neto", "autorización", "impresión", "reimpresión", "PRÁCTICA – PROHIBIDA SU VENTA",
            "peso bruto", "de", "para", "RETENIDO – NO UTILIZAR", "MUESTRA – PROHIBIDA SU VENTA"),
        new("pt", "consumir de preferência antes de", "consumir de preferência antes do fim de", "",
            ["janeiro", "fevereiro", "março", "abril", "maio", "junho", "julho", "agosto", "setembro", "outubro", "novembro", "dezembro"],
            ',', "produzido em", "peso líquido", "aprovação", "impressão", "reimpressão", "TREINO – VENDA PROIBIDA",
            "peso bruto", "de", "para", "RETIDO – NÃO UTILIZAR", "AMOSTRA – VENDA PROIBIDA"),
        new("id", "baik digunakan sebelum", "baik digunakan sebelum", "",
            ["Januari", "Februari", "Maret", "April", "Mei", "Juni", "Juli", "Agustus", "September", "Oktober", "November", "Desember"],
            ',', "diproduksi", "berat bersih", "izin", "cetak", "cetak ulang", "LATIHAN – TIDAK UNTUK DIJUAL",
            "berat kotor", "dari", "kepada", "DITAHAN – JANGAN DIGUNAKAN", "SAMPEL – TIDAK UNTUK DIJUAL"),
    ];

    public static bool TryFor(string code, [NotNullWhen(true)] out LabelLanguage? language)
    {
        language = All.FirstOrDefault(one => one.Code == code);
        return language is not null;
    }

    /// <exception cref="ArgumentException">There are no words for this language.</exception>
    public static LabelLanguage For(string code) =>
        TryFor(code, out var language)
            ? language
            : throw new ArgumentException($"There are no label words for language '{code}'.", nameof(code));
}
