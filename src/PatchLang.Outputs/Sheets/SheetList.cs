using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;

namespace PatchLang.Outputs.Sheets;

/// <summary>Every sheet of a plan, in the order in which a day needs them.</summary>
public static class SheetList
{
    private const int MostLetters = 56;

    private static readonly ImmutableArray<Func<PlanBook, IEnumerable<Sheet>>> Builders =
    [
        PullList.Of, CableSchedule.Of, LabelStrips.Of, FestivalList.Of, InputList.Of, OutputList.Of, UnitWorksheets.Of, NetworkSheet.Of,
        ClockSheet.Of, LineCheck.Of, ChangeoverSheets.Of, ListenerSheets.Of, SpareSheet.Of,
    ];

    /// <summary>Makes the sheets. The same plan and the same words give the same sheets.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="file">What the plan is called where it has no title: its file.</param>
    /// <param name="revision">Which state of the plan it is, in the host's words; empty for none.</param>
    /// <param name="date">The day, in the host's words; empty for none.</param>
    /// <param name="acts">Only what holds in these acts; null for all.</param>
    /// <param name="labelSize">The width and height of a label for a line of a box or a desk, in millimetres; null for 20 by 14.</param>
    public static SheetSet Of(Compilation plan, string file, string revision, string date, ActSet? acts = null, (double Width, double Height)? labelSize = null)
    {
        var book = new PlanBook(plan, acts ?? plan.Rig.AllActs) { LabelSize = labelSize ?? LabelStrips.LineSize };
        return new SheetSet(plan.Title ?? file, revision, date, Distinct(Builders.SelectMany(b => b(book)))) { Banner = BannerOf(plan) };
    }

    /// <summary>The name of a sheet that there is for each act, or for each of other things: letters, digits, and marks that every disk takes.</summary>
    internal static string FileName(string sheet, params ReadOnlySpan<string> of)
    {
        foreach (var name in of)
            if (name.Length > 0) sheet += $"-{name.Replace('[', '-').Replace("]", "", StringComparison.Ordinal)}";
        // Disks take 255 bytes, of which a letter may cost four; `Distinct` tells apart what is cut alike.
        var end = Math.Min(sheet.Length, MostLetters);
        return char.IsHighSurrogate(sheet[end - 1]) ? sheet[..(end - 1)] : sheet[..end];
    }

    /// <summary>No two files of one name, even where a disk does not tell capitals apart.</summary>
    private static ImmutableArray<Sheet> Distinct(IEnumerable<Sheet> sheets)
    {
        var taken = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        var all = ImmutableArray.CreateBuilder<Sheet>();
        foreach (var sheet in sheets)
        {
            var name = sheet.Name;
            for (var number = 2; !taken.Add(name); number++) name = $"{sheet.Name}-{number}";
            all.Add(sheet with { Name = name });
        }
        return all.DrainToImmutable();
    }

    private static string? BannerOf(Compilation plan)
    {
        var errors = plan.Findings.Count(f => f.Severity == Severity.Error);
        var warnings = plan.Findings.Count(f => f.Severity == Severity.Warning);
        if (errors + warnings == 0) return null;
        var counts = new[] { errors == 0 ? "" : Words.Count(errors, "error"), warnings == 0 ? "" : Words.Count(warnings, "warning") }.Where(c => c.Length > 0).ToList();
        return $"This plan has {Words.And(counts)}: it does not work as written. The rows that they touch are marked; `patchlang check` says what to change.";
    }
}
