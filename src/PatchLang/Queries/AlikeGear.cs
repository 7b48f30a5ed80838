using System.Collections.Immutable;
using System.Text;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>
/// Merges declarations of gear in one file that say the same into one, and makes the units use it. Numbers of channels in which they
/// differ become parameters. Sheets list equipment by its title, so gear without a title is left alone.
/// </summary>
internal sealed class AlikeGear
{
    /// <summary>With more differences than this, one declaration would not be easier to read.</summary>
    private const int MostCounts = 3;

    private readonly PlanQueries queries;
    private readonly SyntaxTree home;
    private readonly ImmutableArray<GearSymbol> all;
    private readonly ImmutableArray<Form> forms;

    // The names of the new parameters, and for each number its parameter; −1 if it is the same in all.
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

    /// <summary>
    /// The rewrites for the gear declared or named in a part of a file: merged with all gear like it, or only with the others selected.
    /// </summary>
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

    /// <summary>Assigns a parameter to each number that differs between the declarations; numbers that differ in the same way share one.</summary>
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

    /// <summary>Whether merging keeps the meaning of the plan and of its findings.</summary>
    private bool IsSame(IEnumerable<Finding> findings)
    {
        if (Kept.Title is null || counts.Count > MostCounts || (counts.Count > 0 && !Kept.Parameters.IsEmpty)) return false;
        // An `allow` for one of them would apply to all.
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
                    if (place.Remark is not null || (g == 0 && given.Length == 0)) continue; // only declarations have a remark
                    if (!changes.TryGetValue(tree, out var its)) changes[tree] = its = [];
                    its.Add(new TextChange(place.Span, Kept.Name + given));
                }
        }
        var names = all.Length > 3 ? $"{all.Length} that are alike: {Kept.Name}" : $"{string.Join(", ", all.SkipLast(1).Select(g => g.Name))} and {all[^1].Name}";
        return new Rewrite($"make one {(Kept.IsCard ? "card" : "gear")} of {names}", RewriteSort.Extraction, [.. changes.SelectMany(c => TidyChange.Of(c.Key, c.Value))]);
    }

    /// <summary>
    /// The change that deletes a declaration and its documentation; null if that would delete another comment, or leave one behind.
    /// </summary>
    private TextChange? Removal(GearSymbol gear)
    {
        var (index, source) = (home.IndexOf(gear.Statement), home.Source);
        var span = PlanQueries.SpanOf(gear.Statement).Moved(home.StartOf(index));
        var (first, last) = (source.PositionOf(span.Start).Line, source.PositionOf(span.End).Line);
        if (!source.Slice(TextSpan.FromTo(source.LineSpan(first).Start, span.Start)).IsWhiteSpace() || !source.Slice(TextSpan.FromTo(span.End, source.LineSpan(last).End)).IsWhiteSpace()) return null;
        while (first > 0 && Line(first - 1).StartsWith("///")) first--;
        if (first > 0 && (Line(first - 1).StartsWith("//") || Line(first - 1).EndsWith("*/"))) return null;
        // Of the blank lines around it keep one.
        if (first > 0 && Line(first - 1).IsEmpty && (last + 1 >= source.LineCount || Line(last + 1).IsEmpty)) first--;
        else if (first == 0 && last + 1 < source.LineCount && Line(last + 1).IsEmpty) last++;
        return new TextChange(TextSpan.FromTo(source.LineSpan(first).Start, last + 1 < source.LineCount ? source.LineSpan(last + 1).Start : source.Length), "");

        ReadOnlySpan<char> Line(int line) => source.Slice(source.LineSpan(line)).Trim();
    }

    /// <summary>The contents of a declaration apart from its name, with the numbers that a parameter could replace taken out.</summary>
    /// <param name="Start">Its position in the file.</param>
    /// <param name="Text">The contents, including documentation.</param>
    /// <param name="Numbers">The numbers: their spans, their values, and what they count.</param>
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
                // Comments matter; white space does not.
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
                // Numbers count what their line declares, or their own part of it if one line declares several.
                if (node.Kind == NodeKind.Counted) of = node.Child(NodeKind.Name).Name();
                else if (node.Kind is NodeKind.Socket or NodeKind.Port or NodeKind.Strip or NodeKind.Bus) of = node.Child(NodeKind.Counted).Child(NodeKind.Name).Name();
                else if (node.Kind is NodeKind.Limit or NodeKind.Route) of = node.Kind == NodeKind.Limit ? "limit" : "block";
                foreach (var child in node.Children) Visit(child, of);
            }
        }
    }
}
