using System.Collections.Immutable;
using PatchLang.Checks;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Queries;

/// <summary>Answers the questions of editors about a plan. Thread-safe.</summary>
public sealed class PlanQueries
{
    private readonly Plan plan;
    private HashSet<int>? reserved;
    private Dictionary<Statement, FeedBinding>? bindings;

    internal PlanQueries(Plan plan) => this.plan = plan;

    /// <summary>The nodes that are reserved in some act.</summary>
    internal HashSet<int> Reserved => LazyInitializer.EnsureInitialized(ref reserved, () => [.. ReserveCheck.Reservations(plan, new DraftBag()).SelectMany(r => r.Nodes)]);

    internal Plan Plan => plan;

    /// <summary>
    /// The binding of the feed, bundle or insert in a statement. (The statement's own cache may already belong to a later version of the plan.)
    /// </summary>
    internal FeedBinding? BindingOf(Statement statement) => LazyInitializer.EnsureInitialized(ref bindings, () =>
    {
        var all = new Dictionary<Statement, FeedBinding>(plan.Signals.Bindings.Length, ReferenceEqualityComparer.Instance);
        foreach (var binding in plan.Signals.Bindings) all[binding.Statement] = binding;
        foreach (var (_, binding) in plan.Signals.Inserts) all[binding.Statement] = binding;
        return all;
    }).GetValueOrDefault(statement);

    /// <summary>All occurrences in a file, in order; spans count from the start of the file.</summary>
    public IEnumerable<Occurrence> In(SyntaxTree tree)
    {
        for (var i = 0; i < tree.Count; i++)
            foreach (var occurrence in In(tree, i)) yield return occurrence;
    }

    /// <summary>The occurrences in one statement of a file, in order; spans count from the start of the file.</summary>
    public IEnumerable<Occurrence> In(SyntaxTree tree, int index)
    {
        var start = tree.StartOf(index);
        foreach (var occurrence in OccurrenceReader.Of(plan, FileOf(tree), tree[index])) yield return occurrence with { Span = occurrence.Span.Moved(start) };
    }

    /// <summary>The occurrence at a position, or ending there.</summary>
    public Occurrence? At(SyntaxTree tree, int offset)
    {
        var index = tree.IndexAt(offset);
        if (index < 0) return null;
        Occurrence? before = null;
        foreach (var occurrence in In(tree, index))
        {
            if (occurrence.Span.Start <= offset && offset < occurrence.Span.End) return occurrence;
            if (occurrence.Span.End == offset) before = occurrence;
        }
        return before;
    }

    /// <summary>
    /// A token for the meaning of the plan's names. As long as it is the same object, an unchanged statement names the same things as before,
    /// so results derived from statements can be cached under it without keeping the whole plan in memory.
    /// </summary>
    public object MeaningOfNames => plan.Signals.MeaningOfNames;

    /// <summary>What can be written at a position, also within half-typed statements.</summary>
    public Proposals ProposalsAt(SyntaxTree tree, int offset) => ProposalFinder.At(this, tree, offset);

    /// <summary>All places in the plan where a subject is named, file by file. The place of a declaration has the remark "declared here".</summary>
    public ImmutableArray<Place> PlacesOf(Subject subject)
    {
        var places = ImmutableArray.CreateBuilder<Place>();
        for (var f = 0; f < plan.Files.Trees.Length; f++) AddPlaces(subject, plan.Files.Trees[f], places);
        return places.DrainToImmutable();
    }

    /// <summary>The same, in one file.</summary>
    public ImmutableArray<Place> PlacesOf(Subject subject, SyntaxTree tree)
    {
        var places = ImmutableArray.CreateBuilder<Place>();
        AddPlaces(subject, tree, places);
        return places.DrainToImmutable();
    }

    /// <summary>Where a subject is declared: the span of its name, and that of the whole declaring statement or line.</summary>
    public ImmutableArray<(SyntaxTree Tree, TextSpan Name, TextSpan Whole)> DeclarationsOf(Subject subject)
    {
        switch (subject)
        {
            case FileSubject file:
                return plan.Files.Trees.FirstOrDefault(t => t.Source.Path == file.Path) is { } tree ? [(tree, default, default)] : [];
            case SymbolSubject { Symbols: var symbols }:
                return [.. symbols.Select(s => DeclarationOf(s.Statement, s.NameSpan, s.File))];
            case PartSubject part:
                foreach (var occurrence in OccurrenceReader.Of(plan, part.Gear.File, part.Gear.Statement))
                    if (occurrence.IsDeclaration && occurrence.Subject == part) return [DeclarationOf(part.Gear.Statement, occurrence.Span, part.Gear.File, isLine: true)];
                return [];
            case SlotKindSubject kind:
                return [.. plan.Foundation.Gear.Where(g => g.ForSlot == kind.Name).Select(g => DeclarationOf(g.Statement, g.NameSpan, g.File))];
            default:
                return [];
        }
    }

    /// <summary>The declaration of what a subject is an instance of: a unit's gear, the format of a network or socket; empty if unknown.</summary>
    public ImmutableArray<(SyntaxTree Tree, TextSpan Name, TextSpan Whole)> TypesOf(Occurrence occurrence)
    {
        Symbol? type = occurrence.Subject switch
        {
            SymbolSubject { Symbols: [UnitSymbol unit, ..] } => plan.Rig.DevicesOf(unit) is [var device, ..] ? device.Model.Gear : null,
            SymbolSubject { Symbols: [NetworkSymbol network, ..] } => plan.Rig.Networks.FirstOrDefault(n => n.Symbol == network)?.Format,
            PartSubject part when occurrence.Device is { } device && device.Model.SocketOf(part.Name) is { Format: { } format } => format,
            PartSubject part when occurrence.Device is { } device && device.Model.SlotOf(part.Name) is { } slot && device.Cards[slot.Index] is { } card => card.Model.Gear,
            PartSubject part => part.Gear.Body.Sockets.FirstOrDefault(s => s.Name == part.Name)?.Format is { } name ? plan.Foundation.HomeOf(part.Gear.File).Formats.Find(name)?.First : null,
            _ => null,
        };
        return type is null ? [] : [DeclarationOf(type.Statement, type.NameSpan, type.File)];
    }

    /// <summary>The documentation of a symbol: the <c>///</c> lines before it.</summary>
    public string DocumentationOf(Symbol symbol)
    {
        var tree = plan.Files.Trees[plan.Files.IndexOf(symbol.File)];
        return tree.IndexOf(symbol.Statement) is >= 0 and var index ? tree.DocumentationOf(index) : "";
    }

    /// <summary>Why a subject can't be renamed to a name; null if it can.</summary>
    /// <param name="subject">The subject.</param>
    /// <param name="name">The new name; null to ask whether it can be renamed at all.</param>
    public string? RefusalToRename(Subject subject, string? name)
    {
        if (subject is FileSubject) return "a file is renamed where files are";
        var declarations = DeclarationsOf(subject);
        if (declarations.IsEmpty) return $"nothing declares {subject.Name}";
        if (declarations.Any(d => d.Tree.Source.IsLibrary)) return $"{subject.Name} belongs to the shipped library, which can't be changed";
        if (name is null) return null;
        var at = 0;
        if (!Scanner.Next(name, ref at, out var kind, out var start) || start != 0 || at != name.Length || !kind.CanBeName())
            return kind.IsReserved() ? $"`{name}` is a word of the language" : $"`{name}` is no name";
        if (subject is SymbolSubject { Symbols: [var symbol, ..] } && subject.Name != name && Taken(symbol, NormalForm.Compose(name)) is { } other) return $"there is a {other.Sort} {name} already";
        if (subject is PartSubject { IsCount: false } part && part.Name != name && (part.Gear.Body.Sockets.Any(s => s.Name == name) || part.Gear.Body.Slots.Any(s => s.Name == name) || part.Gear.Body.Clocks.Any(c => c.Name == name)))
            return $"{part.Gear.Name} has a {name} already";
        return null;
    }

    /// <summary>What a name already stands for where a symbol is declared; null if it is free.</summary>
    private Symbol? Taken(Symbol symbol, string name)
    {
        var scope = plan.Foundation.HomeOf(symbol.File);
        if (symbol is UnitSymbol or FeedSymbol or BundleSymbol or PrefixSymbol)
            return plan.Signals.Paths.Candidates(new PathExpression([new StepExpression(name, default, null)], default), symbol.File)?.First;
        return scope.SpaceOf(symbol).Find(name)?.First;
    }

    private void AddPlaces(Subject subject, SyntaxTree tree, ImmutableArray<Place>.Builder places)
    {
        // Search the text for the name first, since most statements do not contain it. Non-ASCII names may be written in different normal forms.
        var text = subject is FileSubject or SlotKindSubject || !System.Text.Ascii.IsValid(subject.Name) ? null : subject.Name;
        for (var i = 0; i < tree.Count; i++)
        {
            if (text is not null && !tree[i].Text.Span.Contains(text, StringComparison.Ordinal)) continue;
            if (subject is FileSubject && tree[i].Kind != NodeKind.Use) continue;
            foreach (var occurrence in In(tree, i))
                if (occurrence.Subject.Equals(subject)) places.Add(new Place(tree.Source, occurrence.Span, occurrence.IsDeclaration ? "declared here" : null));
        }
    }

    private (SyntaxTree Tree, TextSpan Name, TextSpan Whole) DeclarationOf(Statement statement, TextSpan name, PlanFile file, bool isLine = false)
    {
        var tree = plan.Files.Trees[plan.Files.IndexOf(file)];
        var start = tree.StartOf(tree.IndexOf(statement));
        var its = name.Moved(start);
        return (tree, its, isLine ? tree.Source.LineSpan(tree.Source.PositionOf(its.Start).Line) : SpanOf(statement).Moved(start));
    }

    /// <summary>The symbol that the statement at a place declares; null if none.</summary>
    public Symbol? DeclaredAt(Place place)
    {
        foreach (var tree in plan.Files.Trees)
        {
            if (!ReferenceEquals(tree.Source, place.Source)) continue;
            var index = tree.IndexAt(place.Span.Start);
            if (index < 0) return null;
            foreach (var occurrence in OccurrenceReader.Of(plan, FileOf(tree), tree[index]))
                if (occurrence.IsDeclaration && occurrence.Subject is SymbolSubject { Symbols: var symbols })
                    foreach (var symbol in symbols)
                        if (ReferenceEquals(symbol.Statement, tree[index])) return symbol;
        }
        return null;
    }

    /// <summary>The number of feeds that pass through a unit.</summary>
    public int FeedsThrough(UnitSymbol unit)
    {
        var feeds = new HashSet<Symbol>();
        foreach (var device in plan.Rig.Devices)
            if (device.Unit == unit)
                for (var node = device.FirstNode; node < device.FirstNode + device.Model.NodeCount; node++)
                {
                    foreach (var edge in plan.Graph.Into(node))
                        if (plan.Graph.FeedOf(edge) is { } feed) feeds.Add(feed);
                    foreach (var edge in plan.Graph.OutOf(node))
                        if (plan.Graph.FeedOf(edge) is { } feed) feeds.Add(feed);
                }
        return feeds.Count;
    }

    /// <summary>The span of a statement without trailing white space and comments.</summary>
    public static TextSpan SpanOf(Statement statement)
    {
        using var reading = statement.Read();
        return TextSpan.FromTo(0, reading.SpanOf(reading.TokenCount).Start);
    }

    /// <summary>The edits of a fix, formatted where the surrounding text was tidy.</summary>
    public ImmutableArray<TextEdit> EditsOf(Fix fix) =>
    [
        .. fix.Edits.GroupBy(e => e.Source).SelectMany(file => plan.Files.Trees.FirstOrDefault(t => t.Source == file.Key) is { } tree
            ? TidyChange.OfFix(tree, [.. file.Select(e => new TextChange(e.Span, e.NewText))])
            : [.. file]),
    ];

    /// <summary>The name of a unit in a file, with a prefix if needed; null if the file can't name it.</summary>
    internal string? NameIn(PlanFile file, UnitSymbol unit)
    {
        var scope = plan.Foundation.HomeOf(file);
        if (Knows(scope)) return unit.Name;
        foreach (var named in scope.Things.Entries)
            if (named.First is PrefixSymbol prefix && Knows(prefix.Target)) return $"{prefix.Name}.{unit.Name}";
        return null;

        bool Knows(Scope at) => at.Things.Find(unit.Name) is { } found && found.All.Contains(unit);
    }

    internal PlanFile FileOf(SyntaxTree tree)
    {
        foreach (var file in plan.Files.Files)
            if (file.Path == tree.Source.Path) return file;
        throw new ArgumentException($"{tree.Source.Path} is no file of this plan.", nameof(tree));
    }
}
