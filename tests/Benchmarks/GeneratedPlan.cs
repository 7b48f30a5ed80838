using System.Text;
using System.Text.Json;
using PatchLang.Text;
using static System.FormattableString;

namespace PatchLang.Benchmarks;

/// <summary>
/// A plan of any size without a finding, the same in every run: boxes on stage and on the quay with four lines each, and feeds
/// between them, eight for each box on stage. What it looks like stands in <c>rig.json</c>, which other languages' specifications are made alike.
/// </summary>
internal static class GeneratedPlan
{
    private const int FeedsPerBox = 8;

    private static readonly JsonElement Look = Load();

    /// <summary>The plan is one file: whatever else is asked for is not there.</summary>
    public static FileReader NoFiles { get; } = _ => FileReading.Failed(FileProblem.NotFound);

    /// <summary>A plan, compiled.</summary>
    public static Compilation Compile(string text) => Compilation.Create(new SourceText("plan.rig", text), NoFiles);

    /// <summary>The text of a plan.</summary>
    /// <param name="feeds">How many feeds: 1,000 or another number that leaves every box used and no line used twice.</param>
    public static string Text(int feeds)
    {
        var boxes = Math.Max(4, feeds / FeedsPerBox);
        var text = new StringBuilder(Part("head"));
        for (var box = 0; box < boxes; box++) text.Append(Fill(Part("dev_open"), ("d", Box(box))));
        text.Append(Part("mid"));
        for (var feed = 0; feed < feeds; feed++) text.Append(Feed(feed, boxes));
        return text.Append(Part("foot")).ToString();

        string Box(int number) => Invariant($"d{number % boxes:00000}");

        string Feed(int number, int among) => Fill(
            Part("conn"),
            ("a", Box(number)),
            ("o", Invariant($"out{number / among % 4 + 1}")),
            ("b", Box(number * 7 + 3)),
            ("i", Invariant($"in{number / 3 % 4 + 1}")),
            ("k", Invariant($"c{number:000000}")),
            ("n", Invariant($"{number + 1}")));
    }

    private static string Part(string name) => Look.GetProperty(name).GetString()!;

    private static string Fill(string template, params ReadOnlySpan<(string Name, string Value)> values)
    {
        foreach (var (name, value) in values) template = template.Replace("{" + name + "}", value, StringComparison.Ordinal);
        return template.Replace("{{", "{", StringComparison.Ordinal).Replace("}}", "}", StringComparison.Ordinal);
    }

    private static JsonElement Load()
    {
        using var stream = typeof(GeneratedPlan).Assembly.GetManifestResourceStream("rig.json")!;
        return JsonDocument.Parse(stream).RootElement;
    }
}
