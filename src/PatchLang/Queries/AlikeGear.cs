using System.Collections.Immutable;
using System.Text;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>
/// Makes one kind of gear of several in a file that say the same, and the units use it. Where they differ in how many channels
/// there are, that becomes a count. The sheets call equipment by its title, so gear without one is left alone.
/// </summary>
internal sealed class AlikeGear
{
    /// <summary>What differs in more counts than this is not easier to read in one.</summary>
    private const int MostCounts = 3;

    private readonly PlanQueries queries;
    private readonly SyntaxTree home;
    private readonly ImmutableArray<GearSymbol> all;
    private readonly ImmutableArray<Form> forms;

    // The new counts, and of each number that may be one, which it is; −1 where it is the same in all.
    private readonly List<string> counts = [];
    private readonly List<int> examples = [];
    private readonly int[] countOf;

    private AlikeGear(PlanQueries queries, SyntaxTree home, ImmutableArray<(GearSymbol Gear, Form Form)> alike)
    {
        (this.queries, this.home) = (queries, home);
        all = [.. alike.Select(a => a.Gear)];
        forms = [.. alike.Select(a => a.Form)];
        countOf = CountsOf();
    }

    private GearSymbol Kept => all[0];

    /// <summary>The rewrites of the gear that is declared or named in a part of a file: of that with its like, or of several that are selected.</summary>
    public static IEnumerable<Rewrite> In(PlanQueries queries, IEnumerable<Finding> findings, SyntaxTree tree, TextSpan within)
    {
        var named = NamedIn(queries, tree, within);
        var done = new HashSet<GearSymbol>();
        foreach (var gear in named)
        {
            if (done.Contains(gear) || Form.Of(queries, gear) is not { } form) continue;
            var alike = Like(named, gear, form);
            if (alike.Length < 2) alike = Like(queries.Plan.Foundation.Gear, gear, form);
            done.UnionWith(alike.Select(a => a.Gear));
            if (alike.Length < 2) continue;
            var union = new AlikeGear(queries, queries.Plan.Files.Trees[queries.Plan.Files.IndexOf(gear.File)], alike);
            if (union.IsSame(findings) && union.Made() is { } rewrite) yield return rewrite;
        }

        ImmutableArray<(GearSymbol Gear, Form Form)> Like(IEnumerable<GearSymbol> among, GearSymbol gear, Form form) =>
        [
            .. among.Where(g => g.File == gear.File && g.Statement.Shape == gear.Statement.Shape)
                .Select(g => (Gear: g, Form: Form.Of(queries, g))).Where(g => g.Form?.Text == form.Text).Select(g => (g.Gear, Form: g.Form!)).OrderBy(g => g.Form.Start),
        ];
    }

    private static List<GearSymbol> NamedIn(PlanQueries queries, SyntaxTree tree, TextSpan within)
    {
        var named = new List<GearSymbol>();
        for (var i = Math.Max(0, tree.IndexAt(within.Start)); i < tree.Count && tree.StartOf(i) <= within.End; i++)
        {
            if (tree[i].Kind is not (NodeKind.Unit or NodeKind.Gear or NodeKind.Card)) continue;
            foreach (var occurrence in queries.In(tree, i))
                if (occurrence.Subject is SymbolSubject { Symbols: [GearSymbol gear] } && !gear.File.IsLibrary && !named.Contains(gear)) named.Add(gear);
        }
        return named;
    }

    /// <summary>Gives each number that is not the same in all of them its count; numbers that differ in the same way share one.</summary>
    private int[] CountsOf()
    {
        var each = new int[forms[0].Numbers.Length];
        for (var i = 0; i < each.Length; i++)
        {
            each[i] = -1;
            if (forms.All(f => f.Numbers[i].Value == forms[0].Numbers[i].Value)) continue;
            each[i] = examples.FindIndex(e => forms.All(f => f.Numbers[e].Value == f.Numbers[i].Value));
            if (each[i] >= 0) continue;
            each[i] = counts.Count;
            examples.Add(i);
            counts.Add(FreeName(forms[0].Numbers[i].Of));
        }
        return each;
    }

    private string FreeName(string of)
    {
        for (var number = 1; ; number++)
        {
            var name = number == 1 ? $"{of}_count" : $"{of}_count_{number}";
            if (!counts.Contains(name) && !forms[0].Text.Contains(name, StringComparison.Ordinal)) return name;
        }
    }

    /// <summary>Whether nothing that is said of the plan hangs on there being several.</summary>
    private bool IsSame(IEnumerable<Finding> findings)
    {
        if (Kept.Title is null || counts.Count > MostCounts || (counts.Count > 0 && !Kept.Parameters.IsEmpty)) return false;
        // What is allowed of one would be allowed of all.
        if (all.Any(g => home.IndexOf(g.Statement) is > 0 and var index && home[index - 1].Kind == NodeKind.Allow)) return false;
        var places = all.Select(g => PlanQueries.SpanOf(g.Statement).Moved(home.StartOf(home.IndexOf(g.Statement)))).ToList();
        foreach (var finding in findings)
        {
            if (IsOfOne(finding.Place) || finding.Related.Any(IsOfOne)) return false;
            if (all.Any(g => Names(finding.Message, g.Name))) return false;
        }
        return true;

        bool IsOfOne(Place place) => place.Source == home.Source && places.Exists(p => p.Start <= place.Span.End && place.Span.Start <= p.End);
    }

    private static bool Names(string message, string name)
    {
        for (var at = message.IndexOf(name, StringComparison.Ordinal); at >= 0; at = message.IndexOf(name, at + 1, StringComparison.Ordinal))
            if ((at == 0 || !IsOfName(message[at - 1])) && (at + name.Length == message.Length || !IsOfName(message[at + name.Length]))) return true;
        return false;

        static bool IsOfName(char c) => char.IsLetterOrDigit(c) || c == '_';
    }

    private Rewrite? Made()
    {
        var changes = new Dictionary<SyntaxTree, List<TextChange>> { [home] = [] };
        if (counts.Count > 0) changes[home].Add(new TextChange(new TextSpan(forms[0].Start + Kept.NameSpan.End, 0), $"({string.Join(", ", counts)})"));
        for (var i = 0; i < countOf.Length; i++)
            if (countOf[i] >= 0) changes[home].Add(new TextChange(forms[0].Numbers[i].Span.Moved(forms[0].Start), counts[countOf[i]]));
        for (var g = 0; g < all.Length; g++)
        {
            if (g > 0)
            {
                if (Removal(all[g]) is not { } removal) return null;
                changes[home].Add(removal);
            }
            var given = counts.Count > 0 ? $"({string.Join(", ", examples.Select(e => forms[g].Numbers[e].Value))})" : "";
            var subject = new SymbolSubject([all[g]]);
            foreach (var tree in queries.Plan.Files.Trees)
                foreach (var place in queries.PlacesOf(subject, tree))
                {
                    if (place.Remark is not null || (g == 0 && given.Length == 0)) continue; // a remark is on the declaration alone
                    if (!changes.TryGetValue(tree, out var its)) changes[tree] = its = [];
                    its.Add(new TextChange(place.Span, Kept.Name + given));
                }
        }
        var names = all.Length > 3 ? $"{all.Length} that are alike: {Kept.Name}" : $"{string.Join(", ", all.SkipLast(1).Select(g => g.Name))} and {all[^1].Name}";
        return new Rewrite($"make one {(Kept.IsCard ? "card" : "gear")} of {names}", RewriteSort.Extraction, [.. changes.SelectMany(c => TidyChange.Of(c.Key, c.Value))]);
    }

    /// <summary>The change that takes a declaration away with its documentation; null where that would take a remark with it, or leave one behind.</summary>
    private TextChange? Removal(GearSymbol gear)
    {
        var (index, source) = (home.IndexOf(gear.Statement), home.Source);
        var span = PlanQueries.SpanOf(gear.Statement).Moved(home.StartOf(index));
        var (first, last) = (source.PositionOf(span.Start).Line, source.PositionOf(span.End).Line);
        if (!source.Slice(TextSpan.FromTo(source.LineSpan(first).Start, span.Start)).IsWhiteSpace() || !source.Slice(TextSpan.FromTo(span.End, source.LineSpan(last).End)).IsWhiteSpace()) return null;
        while (first > 0 && Line(first - 1).StartsWith("///")) first--;
        if (first > 0 && (Line(first - 1).StartsWith("//") || Line(first - 1).EndsWith("*/"))) return null;
        // Of the blank lines around it one is enough.
        if (first > 0 && Line(first - 1).IsEmpty && (last + 1 >= source.LineCount || Line(last + 1).IsEmpty)) first--;
        else if (first == 0 && last + 1 < source.LineCount && Line(last + 1).IsEmpty) last++;
        return new TextChange(TextSpan.FromTo(source.LineSpan(first).Start, last + 1 < source.LineCount ? source.LineSpan(last + 1).Start : source.Length), "");

        ReadOnlySpan<char> Line(int line) => source.Slice(source.LineSpan(line)).Trim();
    }

    /// <summary>What a declaration says but for its name, with the numbers left out that a count could stand for.</summary>
    /// <param name="Start">Where it starts in its file.</param>
    /// <param name="Text">What it says, its documentation included.</param>
    /// <param name="Numbers">Those numbers: where they stand, and what they are the number of.</param>
    private sealed record Form(int Start, string Text, ImmutableArray<(TextSpan Span, string Value, string Of)> Numbers)
    {
        public static Form? Of(PlanQueries queries, GearSymbol gear)
        {
            if (!gear.Statement.Shape.IsRead || !gear.Statement.Shape.Errors.IsEmpty) return null;
            using var reading = gear.Statement.Read();
            var numbers = ImmutableArray.CreateBuilder<(TextSpan Span, string Value, string Of)>();
            foreach (var setting in reading.Root.Child(NodeKind.GearBody).ChildrenOf(NodeKind.GearSetting)) Visit(setting.FirstChild, "");
            var text = new StringBuilder(queries.DocumentationOf(gear));
            for (var (token, number) = (0, 0); token < reading.TokenCount; token++)
            {
                var span = reading.SpanOf(token);
                // Remarks count, how far apart the words stand does not.
                if (token > 0) text.Append(' ').Append(reading.TextOf(TextSpan.FromTo(reading.SpanOf(token - 1).End, span.Start)).Trim()).Append(' ');
                if (number < numbers.Count && numbers[number].Span == span)
                {
                    text.Append('#');
                    number++;
                }
                else if (span != gear.NameSpan) text.Append(reading.TextOf(span));
            }
            var tree = queries.Plan.Files.Trees[queries.Plan.Files.IndexOf(gear.File)];
            return new Form(tree.StartOf(tree.IndexOf(gear.Statement)), text.ToString(), numbers.DrainToImmutable());

            void Visit(SyntaxNode node, string of)
            {
                if (!node.HasText) return;
                if (node.Kind == NodeKind.Count)
                {
                    if (node.Has(TokenKind.Number)) numbers.Add((node.Span, node.Text.ToString(), of));
                    return;
                }
                // A line, or one of the several that share it, is what its numbers are of.
                if (node.Kind == NodeKind.Counted) of = node.Child(NodeKind.Name).Name();
                else if (node.Kind is NodeKind.Socket or NodeKind.Port or NodeKind.Strip or NodeKind.Bus) of = node.Child(NodeKind.Counted).Child(NodeKind.Name).Name();
                else if (node.Kind is NodeKind.Limit or NodeKind.Route) of = node.Kind == NodeKind.Limit ? "limit" : "block";
                foreach (var child in node.Children) Visit(child, of);
            }
        }
    }
}
