using System.Collections.Immutable;
using System.Globalization;
using System.Text.Json;
using System.Xml;
using PatchLang.Checks;
using PatchLang.Cli.Files;
using PatchLang.Files;

namespace PatchLang.Cli.Rendering;

/// <summary>The results of the promises of one or more plans.</summary>
internal sealed class ExpectationReport
{
    private static readonly string[] Words = ["held", "allowed", "broken", "undecided"];

    private readonly List<(PlanFile Plan, ImmutableArray<Expectation> All)> plans = [];

    /// <summary>Why plans could not be checked.</summary>
    public List<string> Failures { get; } = [];

    /// <summary>Adds a plan's promises.</summary>
    public void Add(PlanFile plan, ImmutableArray<Expectation> all) => plans.Add((plan, all));

    /// <summary>The exit code: clean if every promise holds, or its break is allowed.</summary>
    public int ExitCode => Failures.Count > 0 ? Cli.ExitCode.Failed : plans.Any(p => p.All.Any(e => !IsGood(e))) ? Cli.ExitCode.Found : Cli.ExitCode.Clean;

    private static bool IsGood(Expectation expectation) => expectation.State == ExpectationState.Held || expectation.AllowedBecause is not null;

    private static string WordOf(Expectation expectation) =>
        expectation.AllowedBecause is not null ? "allowed" : expectation.State switch { ExpectationState.Held => "held", ExpectationState.Broken => "broken", _ => "undecided" };

    /// <summary>For a person to read: one line each, with the figure, and the reason if it does not hold.</summary>
    public void WriteText(Terminal terminal)
    {
        const int widest = 70;
        foreach (var (plan, all) in plans)
        {
            var width = Math.Min(widest, all.Select(e => e.Text.Length).DefaultIfEmpty(0).Max());
            foreach (var each in all)
            {
                var tone = IsGood(each) ? Tone.Mend : each.State == ExpectationState.Broken ? Tone.Error : Tone.Warning;
                var region = Region.Of(each.Place);
                terminal.Output.WriteLine($"{terminal.Paint(tone, WordOf(each).PadRight(9))}  {Readable.Line(each.Text.PadRight(width))}  {(each.FigureText ?? "").PadRight(10)}  {terminal.Paint(Tone.Quiet, $"{Readable.Line(plan.PathOf(each.Place.Source))}:{region.Line}")}");
                if (each.Says is { } says) terminal.Output.WriteLine($"           {Readable.Line(says)}");
                if (each.AllowedBecause is { } reason) terminal.Output.WriteLine($"           allowed: {Readable.Line(reason)}");
            }
        }
        if (plans.Count > 0) terminal.Output.WriteLine(Summary());
    }

    private string Summary()
    {
        var all = plans.SelectMany(p => p.All).ToList();
        if (all.Count == 0) return "The plan expects nothing: add `expect` statements, and it tests itself.";
        var counts = Words.Select(w => (Word: w, Count: all.Count(e => WordOf(e) == w))).Where(c => c.Count > 0).Select(c => $"{c.Count} {c.Word}");
        return $"{all.Count} {(all.Count == 1 ? "expectation" : "expectations")}: {string.Join(", ", counts)}";
    }

    /// <summary>For scripts; the schema is <c>expectations.schema.json</c> beside this file.</summary>
    public void WriteJson(Terminal terminal) =>
        terminal.Output.WriteLine(JsonSerializer.Serialize(
            new JsonExpectations(1, plans.Count, Failures, [.. plans.SelectMany(p => p.All.Select(e => new JsonExpectation(e.Text, WordOf(e), e.Figure, e.FigureText, e.Code, e.Says, e.AllowedBecause, JsonPlace.Of(p.Plan, e.Place))))]),
            ReportJson.Plain.JsonExpectations));

    /// <summary>
    /// For services that show test results: JUnit's XML, with one suite per plan. It is not standardized; this keeps to the schema that
    /// build servers read: suites with counts, cases with a class and a name, and failure, error or skipped elements in them.
    /// </summary>
    public void WriteJUnit(Terminal terminal)
    {
        using var text = new Utf8Text();
        using (var xml = XmlWriter.Create(text, new XmlWriterSettings { Indent = true, CheckCharacters = false }))
        {
            xml.WriteStartElement("testsuites");
            Counts(xml, [.. plans.SelectMany(p => p.All)], Failures.Count);
            foreach (var (plan, all) in plans)
            {
                xml.WriteStartElement("testsuite");
                xml.WriteAttributeString("name", Clean(plan.Name));
                Counts(xml, all, 0);
                Skipped(xml, all);
                foreach (var each in all) WriteCase(xml, plan, each);
                xml.WriteEndElement();
            }
            foreach (var failure in Failures)
            {
                xml.WriteStartElement("testsuite");
                xml.WriteAttributeString("name", Clean(failure));
                Counts(xml, [], 1, 1);
                xml.WriteStartElement("testcase");
                xml.WriteAttributeString("classname", "plan");
                xml.WriteAttributeString("name", "it can be read");
                Problem(xml, "error", failure, "unreadable", failure);
                xml.WriteEndElement();
                xml.WriteEndElement();
            }
            xml.WriteEndElement();
        }
        terminal.Output.WriteLine(text.ToString());
    }

    private static void WriteCase(XmlWriter xml, PlanFile plan, Expectation each)
    {
        var where = $"{plan.PathOf(each.Place.Source)}:{Region.Of(each.Place).Line}";
        xml.WriteStartElement("testcase");
        xml.WriteAttributeString("classname", Clean(plan.PathOf(each.Place.Source)));
        xml.WriteAttributeString("name", Clean(each.Text));
        if (each.AllowedBecause is { } reason) xml.WriteElementString("skipped", Clean($"allowed: {reason}"));
        else if (each.State != ExpectationState.Held) Problem(xml, "failure", each.Says ?? "", WordOf(each), $"{where}: {each.Code}: {each.Says}");
        if (each.FigureText is { } figure) xml.WriteElementString("system-out", Clean($"{where}: {figure}"));
        xml.WriteEndElement();
    }

    private static void Problem(XmlWriter xml, string name, string message, string type, string text)
    {
        xml.WriteStartElement(name);
        xml.WriteAttributeString("message", Clean(message));
        xml.WriteAttributeString("type", type);
        xml.WriteString(Clean(text));
        xml.WriteEndElement();
    }

    // The schema has no such count for the root element.
    private static void Skipped(XmlWriter xml, ImmutableArray<Expectation> all) =>
        xml.WriteAttributeString("skipped", all.Count(e => e.AllowedBecause is not null).ToString(CultureInfo.InvariantCulture));

    private static void Counts(XmlWriter xml, IReadOnlyCollection<Expectation> all, int errors, int more = 0)
    {
        Number("tests", all.Count + (more > 0 ? more : errors));
        Number("failures", all.Count(e => !IsGood(e)));
        Number("errors", errors);

        void Number(string name, int count) => xml.WriteAttributeString(name, count.ToString(CultureInfo.InvariantCulture));
    }

    /// <summary>Replaces characters that XML does not permit.</summary>
    private static string Clean(string text) => Readable.Line(text).Replace('\uFFFE', '\uFFFD').Replace('\uFFFF', '\uFFFD');

    private sealed class Utf8Text() : StringWriter(CultureInfo.InvariantCulture)
    {
        public override System.Text.Encoding Encoding => System.Text.Encoding.UTF8;
    }
}

/// <summary>The promises of plans as JSON in a format of our own.</summary>
internal sealed record JsonExpectations(int Version, int Plans, List<string> Failures, ImmutableArray<JsonExpectation> Expectations);

/// <summary>One promise.</summary>
internal sealed record JsonExpectation(string Text, string State, double? Figure, string? FigureText, string? Code, string? Message, string? AllowedBecause, JsonPlace Place);
