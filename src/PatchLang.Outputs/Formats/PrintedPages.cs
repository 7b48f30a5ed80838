using System.Collections.Immutable;
using PatchLang.Outputs.Sheets;

namespace PatchLang.Outputs.Formats;

/// <summary>Sheets whose printed pages share a header and a footer.</summary>
/// <param name="Title">The footer: the sheet's title or, for several sheets, their family's.</param>
/// <param name="Act">The header.</param>
/// <param name="Sheets">The sheets. If there are several, each fits on one page, so that none is split.</param>
internal sealed record PrintedPages(string Title, string Act, ImmutableArray<Sheet> Sheets)
{
    // A landscape page has room for 35 lines to write on, or for more lines of text; the margin allows for lines that wrap.
    private const int LinesOfShortSheet = 30;
    private const int LettersOfLine = 150;

    /// <summary>Arranges sheets on pages: of each family, first the long sheets, each on pages of its own, then all short ones together.</summary>
    public static IEnumerable<PrintedPages> Of(ImmutableArray<Sheet> sheets)
    {
        for (var i = 0; i < sheets.Length;)
        {
            var first = sheets[i];
            var end = i + 1;
            while (first.Family is not null && end < sheets.Length && sheets[end].Family == first.Family && sheets[end].Act == first.Act) end++;
            var family = sheets[i..end];
            var together = family.Where(IsShort).ToImmutableArray();
            if (together.Length < 2) together = [];
            foreach (var alone in family.Except(together)) yield return new PrintedPages(alone.Title, alone.Act, [alone]);
            if (!together.IsEmpty) yield return new PrintedPages(first.Family!, first.Act, together);
            i = end;
        }
    }

    private static bool IsShort(Sheet sheet)
    {
        var lines = 3 + sheet.Cautions.Sum(LinesOf);
        foreach (var section in sheet.Sections)
        {
            if (section.Layout != SectionLayout.Table) return false;
            lines += 4 + section.Rows.Sum(r => LinesOf(string.Join("  ", r.Cells.Select(c => c.Text))) + r.Faults.Length);
            if (lines > LinesOfShortSheet) return false;
        }
        return true;

        static int LinesOf(string text) => 1 + (text.Length / LettersOfLine);
    }
}
