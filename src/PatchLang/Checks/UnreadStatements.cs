using System.Collections.Immutable;
using System.Runtime.InteropServices;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>
/// Statements with syntax errors, or that were read but not understood, have findings of their own. What they would have said is unknown,
/// so findings that may be mere consequences are left out: each such statement leaves some <see cref="Grounds"/> of the things it names
/// unknown, and a finding about one of those things that depends on these grounds is dropped.
/// </summary>
internal sealed class UnreadStatements
{
    private readonly Plan plan;

    // What is unknown, by name: of a thing and all its parts; of the thing as
    // such; of one part, such as `desk.ch`, or `.ch` where its owner is unknown.
    private readonly Dictionary<string, Grounds> unknownOfAll = new(StringComparer.Ordinal);
    private readonly Dictionary<string, Grounds> unknownOfThing = new(StringComparer.Ordinal);
    private readonly Dictionary<string, Grounds> unknownOfPiece = new(StringComparer.Ordinal);
    private Grounds unknownAnywhere;
    private ILookup<string, string>? cabled;

    private readonly HashSet<Statement> ofUnknownActs = new(ReferenceEqualityComparer.Instance);
    private readonly HashSet<string> mayBeDeclared = new(StringComparer.Ordinal);
    private bool mayUse;
    private readonly int lostHeads;
    private readonly HashSet<(int File, int Line)> lines = [];

    // Statements inside comments that are marked as in some other language: not meant as part of the plan.
    private readonly HashSet<Statement> remarks = new(ReferenceEqualityComparer.Instance);

    public UnreadStatements(Plan plan)
    {
        this.plan = plan;
        for (var f = 0; f < plan.Files.Trees.Length; f++)
        {
            var tree = plan.Files.Trees[f];
            if (plan.Files.Files[f].IsLibrary || tree.Findings.IsEmpty) continue;
            foreach (var finding in tree.Findings) lines.Add((f, LineOf(tree, finding.Place.Span.Start)));
            var uses = KnownUses(plan.Files.Uses[f]);
            var (remarkEnd, unread) = (-1, 0);
            for (var i = 0; i < tree.Count; i++)
            {
                if (tree.StartOf(i) < remarkEnd) remarks.Add(tree[i]);
                if (tree[i].Shape.IsRead) continue;
                var (previous, next) = (i > 0 ? tree[i - 1] : null, i + 1 < tree.Count ? tree[i + 1] : null);
                if (++unread <= TextProblems.MostTold) remarkEnd = Math.Max(remarkEnd, TextProblems.RemarkEnd(tree, i));
                if (uses.Contains(tree[i]) || (previous is not null && uses.Contains(previous) && ReservedNames.IsContinuation(previous, tree[i]))) continue;
                if (HasLostHead(tree[i])) lostHeads++;
                // Even if the rest of the statement is clear, the unreadable part may be a figure.
                if (tree[i].IsClear) unknownAnywhere |= Grounds.Figures;
                else TakeUnread(plan.Files.Files[f], previous, tree[i], next);
            }
        }
    }

    /// <summary>What the unread statements may explain among the findings, in the terms of <see cref="Draft.Explains"/>.</summary>
    public IEnumerable<string> Explain(List<Draft> drafts)
    {
        var names = new HashSet<string>(mayBeDeclared, StringComparer.Ordinal);
        if (lostHeads > 0)
        {
            // A statement that lost its first line or its name declares one thing. If no more names are unknown than there are such
            // statements, these explain all of them.
            var unknown = drafts.Where(d => d.Message.Kind == NameFindings.UnknownName && !d.Explains.Contains(Foundation.UnknownActs)).SelectMany(d => d.Message.Of).Where(n => !names.Contains(n)).ToHashSet(StringComparer.Ordinal);
            if (unknown.Count <= lostHeads) names.UnionWith(unknown);
        }
        foreach (var name in names) yield return Foundation.IsUnread(name);
        if (mayUse) yield return Foundation.UnreadUse;
    }

    /// <summary>Leaves out findings that may follow from statements that can't be read or were not understood.</summary>
    public List<Draft> WithoutFollowers(List<Draft> drafts)
    {
        if (lines.Count > 0) drafts = drafts.FindAll(d => !Follows(d));
        if (!drafts.Exists(IsMisunderstanding)) return drafts;
        foreach (var draft in drafts)
            if (IsMisunderstanding(draft)) TakeMisunderstood(draft);
        return drafts.FindAll(d => IsMisunderstanding(d) || !Follows(d));

        static bool IsMisunderstanding(Draft draft) => draft.Message.Kind.LeavesUnknown != Grounds.None;
    }

    /// <summary>The statements with a syntax error that are known to be nothing but uses of files that could be read.</summary>
    private static HashSet<Statement> KnownUses(ImmutableArray<Use> uses)
    {
        var known = new HashSet<Statement>(ReferenceEqualityComparer.Instance);
        foreach (var use in uses)
            if (use is { IsSlip: true, Target: not null, Statement.Kind: NodeKind.Use or NodeKind.Statement }) known.Add(use.Statement);
        foreach (var use in uses)
            if (use.IsMissing) known.Remove(use.Statement);
        return known;
    }

    // ---- What is unknown

    /// <summary>Which grounds a statement of this kind settles for the things it names.</summary>
    private Grounds SaidBy(NodeKind kind, Statement statement, PlanFile file) => kind switch
    {
        NodeKind.Feed or NodeKind.Bundle or NodeKind.Insert => Grounds.Ways | Grounds.Signals,
        NodeKind.Act or NodeKind.Format or NodeKind.Gear or NodeKind.Card or NodeKind.Unit or NodeKind.Network or NodeKind.Loom => Grounds.All,
        NodeKind.Cable => BringsNoTime(statement, file) ? Grounds.Joins : Grounds.All,
        NodeKind.Timekeeper or NodeKind.Follow => Grounds.Time,
        _ => Grounds.None,
    };

    private void TakeUnread(PlanFile file, Statement? previous, Statement statement, Statement? next)
    {
        var kind = statement.Kind;
        mayUse |= kind == NodeKind.Use || IsPath(statement) || statement.ProblemsBetween(previous, next).Any(p => p.Meant == NodeKind.Use);
        if (kind == NodeKind.Statement)
        {
            var problems = statement.ProblemsBetween(previous, next);
            if (problems.IsEmpty || problems[0].IsRemark) return;
            TakeDeclared(statement);
            if (problems[0].IsLooseLine) return;
            kind = problems[0].Meant;
            foreach (var mend in problems[0].Mends)
                foreach (var change in mend.Changes) mayBeDeclared.UnionWith(NamesIn(change.NewText));
            if (problems[0].GoesOn && previous is not null) TakeNamed(previous, file, SaidBy(kind, statement, file));
            mayUse |= kind == NodeKind.Use;
        }
        else
        {
            TakeDeclared(statement);
        }
        unknownAnywhere |= Grounds.Figures;
        if (kind is NodeKind.Gear or NodeKind.Card)
            foreach (var unit in UnitsOf(statement)) Take(unknownOfAll, unit, Grounds.All); // the names within its braces are local to it
        else TakeNamed(statement, file, SaidBy(kind, statement, file));
    }

    /// <summary>Takes note of a statement that was read but not understood.</summary>
    private void TakeMisunderstood(Draft draft)
    {
        var (kind, statement) = (draft.Message.Kind, draft.At.Statement);
        var unknown = kind.LeavesUnknown;
        unknownAnywhere |= Grounds.Figures;
        // References to a unit of unknown gear stay unresolved anyway; those to a unit whose range is bad do not.
        if (statement.Kind == NodeKind.Unit) unknown = kind == ChannelFindings.BadRange ? Grounds.All : Grounds.None;
        var file = plan.Files.Files[plan.PlaceOf(statement).File];
        TakeNamed(statement, file, unknown & SaidBy(statement.Kind, statement, file), draft.Fixes);
        if (!draft.Explains.Contains(Foundation.UnknownActs)) return;
        ofUnknownActs.Add(statement);
        if (LooseEndsCheck.Declares(statement.Kind) && NamedIn(statement, file, []) is [(var declared, _, _), ..]) Take(unknownOfAll, declared!, Grounds.Acts);
    }

    /// <summary>
    /// Takes note of names that a statement may declare: the first after its keyword, which may be misspelt or missing, and after each
    /// syntax error, which may be where another statement begins.
    /// </summary>
    private void TakeDeclared(Statement statement)
    {
        using var reading = statement.Read();
        Take(0);
        Take(1);
        foreach (var error in statement.Shape.Errors)
        {
            Take(error.Token);
            Take(error.Token + 1);
            // The first word of the next line, taken for one more of a list that ends in a comma.
            if (error.Token > 0 && reading.KindOf(error.Token - 1).IsContextual()) Take(error.Token - 1);
        }

        void Take(int token)
        {
            if (token < reading.TokenCount && reading.KindOf(token).CanBeName()) mayBeDeclared.Add(NormalForm.Compose(reading.TextOf(token)));
        }
    }

    /// <summary>Takes note of all things that a statement names.</summary>
    private void TakeNamed(Statement statement, PlanFile file, Grounds unknown, IReadOnlyList<FixDraft>? fixes = null)
    {
        if (unknown == Grounds.None) return;
        foreach (var (thing, piece, isWhole) in NamedIn(statement, file, fixes ?? []))
        {
            if (piece is not null) TakePiece($"{thing}.{piece}", unknown);
            else Take(isWhole ? unknownOfAll : unknownOfThing, thing!, unknown);
            // A unit runs on one time, whichever of its sockets carries it.
            if (thing is not null) Take(unknownOfAll, thing, unknown & Grounds.Time);
        }
    }

    /// <summary>Takes note of a part of a thing. An unknown way that leads there may also concern whatever is cabled to it.</summary>
    private void TakePiece(string piece, Grounds unknown)
    {
        Take(unknownOfPiece, piece, unknown);
        if (!unknown.HasFlag(Grounds.Ways)) return;
        foreach (var from in (cabled ??= plan.Rig.Cables.ToLookup(c => NameOf(c.To), c => NameOf(c.From)))[piece].Distinct()) Take(unknownOfPiece, from, unknown);

        static string NameOf(Connector connector) => $"{connector.Device.Unit.Name}.{connector.Socket.Name}";
    }

    private static void Take(Dictionary<string, Grounds> into, string name, Grounds unknown) => CollectionsMarshal.GetValueRefOrAddDefault(into, name, out _) |= unknown;

    /// <summary>Whether a statement has no name, or its first line is missing so that the rest makes no sense where it is.</summary>
    private static bool HasLostHead(Statement statement)
    {
        using var reading = statement.Read();
        if (LooseEndsCheck.Declares(statement.Kind) && !reading.Root.Child(NodeKind.Name).IsName) return true;
        var kinds = statement.Shape.Tokens.AsSpan();
        if (statement.Kind == NodeKind.Statement && !kinds.IsEmpty && GoesOn(kinds[0])) return true;
        foreach (var error in statement.Shape.Errors)
            if (error.Token > 0 && error.Token < kinds.Length && GoesOn(kinds[error.Token]) && Repairs.OpenBefore(kinds, error.Token).Count == 0
                && reading.TextOf(TextSpan.FromTo(reading.SpanOf(error.Token - 1).End, reading.SpanOf(error.Token).Start)).ContainsAny('\r', '\n')) return true;
        var depth = 0;
        foreach (var kind in kinds)
            if (Spelling.CloserOf(kind) != TokenKind.None) depth++;
            else if (kind.IsCloser() && --depth < 0) return true;
        return false;

        static bool GoesOn(TokenKind kind) => kind is TokenKind.Arrow or TokenKind.Colon or TokenKind.String;
    }

    private IEnumerable<string> UnitsOf(Statement gear) =>
        plan.Foundation.Units.Where(u => plan.Rig.DevicesOf(u) is [var device, ..] && (device.Model.Gear.Statement == gear || device.Cards.Any(c => c?.Model.Gear.Statement == gear))).Select(u => u.Name);

    /// <summary>Whether one end of a cable is known and carries no clock.</summary>
    private bool BringsNoTime(Statement cable, PlanFile file)
    {
        using var reading = cable.Read();
        for (var token = 0; token + 2 < reading.TokenCount; token++)
        {
            if (!reading.KindOf(token).CanBeName() || reading.KindOf(token + 1) != TokenKind.Dot) continue;
            if (plan.Foundation.HomeOf(file).UnitOf(NormalForm.Compose(reading.TextOf(token))) is { } unit && plan.Rig.DevicesOf(unit) is [var device, ..]
                && device.Model.SocketOf(reading.TextOf(token + 2)) is { Format.IsDigital: false }) return true;
        }
        return false;
    }

    /// <summary>Whether a statement begins with the path of a file: a <c>use</c> without its keyword.</summary>
    private static bool IsPath(Statement statement)
    {
        using var reading = statement.Read();
        return reading.TokenCount > 0 && reading.KindOf(0) is TokenKind.String or TokenKind.OpenString && reading.TextOf(0).TrimEnd("\" ").EndsWith(".rig", StringComparison.Ordinal);
    }

    // ---- What a finding depends on

    private bool Follows(Draft draft)
    {
        var message = draft.Message;
        if ((message.HangsOn & unknownAnywhere) != Grounds.None) return true;
        if (!draft.At.Statement.Shape.IsRead && IsOnLineOfAnother(draft.At)) return true;
        if (remarks.Count > 0 && (remarks.Contains(draft.At.Statement) || draft.Related.Any(r => remarks.Contains(r.At.Statement)))) return true;
        if (message.HangsOn == Grounds.None) return false;
        if (message.HangsOn.HasFlag(Grounds.Acts) && ofUnknownActs.Count > 0 && draft.Related.Select(r => r.At).Append(draft.At).Any(a => ofUnknownActs.Contains(a.Statement))) return true;
        foreach (var called in message.Of)
            if ((UnknownOf(called) & message.HangsOn) != Grounds.None) return true;
        return message.Kind.IsOfWholeStatement && NamedIn(draft.At.Statement, plan.Files.Files[plan.PlaceOf(draft.At.Statement).File], []).Any(n => (UnknownOf(n.Thing ?? "", n.Piece) & message.HangsOn) != Grounds.None);
    }

    /// <summary>What is unknown of a thing, or a part of it, named as in the plan: <c>lead</c>, <c>ears[mara].line[1..2]</c>.</summary>
    private Grounds UnknownOf(string called)
    {
        var name = called.EndsWith(']') ? called.AsSpan(0, called.LastIndexOf('[')) : called;
        var thing = name[..(name.IndexOfAny('.', '[') is var end and >= 0 ? end : name.Length)];
        return UnknownOf(thing.ToString(), thing.Length == name.Length || !name.Contains('.') ? null : name[(name.LastIndexOf('.') + 1)..].ToString());
    }

    private Grounds UnknownOf(string thing, string? piece) =>
        unknownOfAll.GetValueOrDefault(thing)
        | (piece is null ? unknownOfThing.GetValueOrDefault(thing) : unknownOfPiece.GetValueOrDefault($"{thing}.{piece}") | unknownOfPiece.GetValueOrDefault($".{piece}"));

    /// <summary>Whether a place is on a line with a syntax error, which it may be part of.</summary>
    private bool IsOnLineOfAnother(Anchor at)
    {
        var (file, index) = plan.PlaceOf(at.Statement);
        var tree = plan.Files.Trees[file];
        return lines.Contains((file, LineOf(tree, tree.StartOf(index) + at.Span.Start)));
    }

    private static int LineOf(SyntaxTree tree, int offset) => tree.Source.PositionOf(offset).Line;

    // ---- What a statement names

    /// <summary>
    /// What a statement declares, and the things and parts that it names: of <c>desk.ch[1]</c>, the thing <c>desk</c> and the part
    /// <c>ch</c>; the thing is null if there is no <c>desk</c>. Other words are left out, as they may be anything.
    /// </summary>
    private List<(string? Thing, string? Piece, bool IsWhole)> NamedIn(Statement statement, PlanFile file, IReadOnlyList<FixDraft> fixes)
    {
        var named = new List<(string?, string?, bool)>();
        using var reading = statement.Read();
        var declares = statement.Kind == NodeKind.Statement || LooseEndsCheck.Declares(statement.Kind);
        string? thing = null;
        for (var token = 0; token < reading.TokenCount; token++)
        {
            var kind = reading.KindOf(token);
            // An unclosed text may contain the rest of the statement.
            if (kind == TokenKind.OpenString) named.AddRange(NamesIn(reading.TextOf(token).ToString()).Where(n => IsThing(n, file)).Select(n => ((string?)n, (string?)null, true)));
            if (!kind.CanBeName() || reading.KindOf(Math.Max(token - 1, 0)) == TokenKind.OpenBracket) continue;
            var name = NormalForm.Compose(reading.TextOf(token));
            var meant = Meant(reading.SpanOf(token));
            if (token > 1 && reading.KindOf(token - 1) == TokenKind.Dot)
            {
                named.Add((thing, meant ?? name, false));
                continue;
            }
            thing = (token == 1 && declares) || IsThing(name, file) ? name : null;
            if ((thing ?? meant) is { } known) named.Add((known, null, !HasPiece(BehindIndex(token))));
        }
        return named;

        // The replacement that a fix proposes for a word.
        string? Meant(TextSpan span) => fixes.SelectMany(f => f.Edits).FirstOrDefault(e => e.At.Statement == statement && e.At.Span == span).NewText;

        bool HasPiece(int dot) => reading.KindOf(dot) == TokenKind.Dot && reading.KindOf(dot + 1).CanBeName();

        int BehindIndex(int token)
        {
            if (reading.KindOf(++token) != TokenKind.OpenBracket) return token;
            while (token < reading.TokenCount && reading.KindOf(token) != TokenKind.CloseBracket) token++;
            return token + 1;
        }
    }

    private bool IsThing(string name, PlanFile file) =>
        plan.Signals.Paths.Candidates(name, file) is not null || plan.Foundation.HomeOf(file) is var scope && (scope.Networks.Find(name) is not null || scope.Looms.Find(name) is not null);

    private static IEnumerable<string> NamesIn(string text)
    {
        for (var at = 0; at < text.Length;)
        {
            var end = NameCharacters.EndOfName(text, at);
            if (end > at) yield return NormalForm.Compose(text.AsSpan(at, end - at));
            at = Math.Max(end, at + 1);
        }
    }
}
