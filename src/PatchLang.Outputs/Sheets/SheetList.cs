using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;

namespace PatchLang.Outputs.Sheets;

/// <summary>Every sheet of a plan, in the order of use during a day.</summary>
public static class SheetList
{
    private const int MostLetters = 56;

    private static readonly ImmutableArray<Func<PlanBook, IEnumerable<Sheet>>> Builders =
    [
        PullList.Of, CableSchedule.Of, LabelStrips.Of, FestivalList.Of, InputList.Of, OutputList.Of, UnitWorksheets.Of, NetworkSheet.Of,
        ClockSheet.Of, LineCheck.Of, ChangeoverSheets.Of, ListenerSheets.Of, SpareSheet.Of,
    ];

    /// <summary>Makes the sheets. The same arguments give the same sheets.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="file">The plan's file name, for a plan without a title.</param>
    /// <param name="revision">The plan's revision, as the host words it; empty for none.</param>
    /// <param name="date">The date, as the host words it; empty for none.</param>
    /// <param name="acts">Restricts the sheets to these acts; null for all.</param>
    /// <param name="labelSize">The width and height of a line's label, in millimetres; null for 20 by 14.</param>
    public static SheetSet Of(Compilation plan, string file, string revision, string date, ActSet? acts = null, (double Width, double Height)? labelSize = null)
    {
        var book = new PlanBook(plan, acts ?? plan.Rig.AllActs) { LabelSize = labelSize ?? LabelStrips.LineSize };
        return new SheetSet(plan.Title ?? file, revision, date, Distinct(Builders.SelectMany(b => b(book)))) { Banner = BannerOf(plan) };
    }

    /// <summary>The file name of a sheet that exists per act, or per some other thing: only characters that every file system permits.</summary>
    internal static string FileName(string sheet, params ReadOnlySpan<string> of)
    {
        foreach (var name in of)
            if (name.Length > 0) sheet += $"-{name.Replace('[', '-').Replace("]", "", StringComparison.Ordinal)}";
        // File systems permit 255 bytes, up to four per character; `Distinct` tells apart names that are cut to the same.
        var end = Math.Min(sheet.Length, MostLetters);
        return char.IsHighSurrogate(sheet[end - 1]) ? sheet[..(end - 1)] : sheet[..end];
    }

    /// <summary>Makes file names unique, even on file systems that ignore case.</summary>
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
