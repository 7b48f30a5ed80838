using System.Collections.Immutable;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>A feed: one or several named signals, and the way they take.</summary>
public sealed class FeedSymbol : Symbol
{
    private FeedSymbol(PlanFile file, Statement statement, TextSpan nameSpan)
        : base(file, statement, null, nameSpan)
    {
    }

    private LabelTexts labels;
    private PathExpression? hop;
    private PathExpression[]? hops;

    /// <summary>The elements declared by its index; null without one, in which case its origin determines them.</summary>
    public Elements? Elements => Index?.Declared;

    /// <summary>The labels in the sheets: one for all elements, or one each.</summary>
    public ImmutableArray<string> Labels => labels.Of(Statement);

    /// <summary>Its settings: <c>phantom</c>, <c>private</c>, <c>public</c>, levels and so on.</summary>
    public SettingTable Settings { get; private set; } = SettingTable.Empty;

    /// <summary>Whether it needs phantom power at its source.</summary>
    public bool HasPhantom => Settings.Has("phantom");

    /// <summary>Whether the audience must never hear it (click, cue, talkback).</summary>
    public bool IsPrivate => Settings.Has("private");

    /// <summary>Whether the audience hears the place where it ends.</summary>
    public bool IsPublic => Settings.Has("public");

    /// <summary>The delay added on purpose, in seconds; 0 if none.</summary>
    public double Delay => Settings["delay"]?.Value is { Measure: Measure.Time, Value: > 0 } time ? time.Value : 0;

    /// <summary>
    /// Whether the performer also hears the sound through the skull, and so is most sensitive to delay: a voice or a wind instrument.
    /// </summary>
    public bool IsVoiceOrWind => Settings.Has("voice") || Settings.Has("wind");

    /// <summary>The performer whose sound it is, or who hears the mix, if written.</summary>
    public string? Performer => Settings["performer"]?.Text;

    /// <summary>Whether it states a level or a gain.</summary>
    public bool StatesLevels
    {
        get
        {
            foreach (var setting in Settings.All)
                if (setting.Name is "level" or "gain" or "pad" or "trim" or "fader") return true;
            return false;
        }
    }

    /// <summary>Whether only its name is known: its statement has a syntax error, or its index declares no elements.</summary>
    internal bool IsUnknown => Origin is null || !Indexes.IsKnown(Index);

    internal IndexExpression? Index { get; private set; }

    internal OriginExpression? Origin { get; private set; }

    /// <summary>The points on its way, as written. There is usually one, stored without an array.</summary>
    internal ReadOnlySpan<PathExpression> Hops => hops ?? (hop is null ? [] : new ReadOnlySpan<PathExpression>(in hop));

    /// <summary>The span of its <c>during</c>, from the statement's start; empty if there is none. Not stored, since only findings need it.</summary>
    internal TextSpan DuringSpan
    {
        get
        {
            using var reading = Statement.ReadAsMeant();
            return Statement.IsClear ? reading.Root.Child(NodeKind.During).Span : default;
        }
    }

    /// <summary>Adds its labels to a set, and returns whether one of them may already have been in it.</summary>
    internal bool MayRepeatLabel(HashSet<ulong> seen) => labels.MayRepeat(Statement, seen);

    /// <summary>Reads the declaration; null if it has no name. If it has a syntax error, only name and index are read.</summary>
    /// <param name="file">The file it is in.</param>
    /// <param name="statement">Its statement.</param>
    /// <param name="scope">The scope in which its names are looked up.</param>
    /// <param name="acts">Reads its acts.</param>
    /// <param name="bag">Receives findings about its acts and taps.</param>
    internal static FeedSymbol? Read(PlanFile file, Statement statement, Scope scope, ActsReader acts, DraftBag bag)
    {
        using var reading = statement.ReadAsMeant();
        var root = reading.Root;
        if (root.Child(NodeKind.Name) is not { IsName: true } name) return null;
        var feed = new FeedSymbol(file, statement, name.Span) { Acts = acts.All };
        var isBroken = !statement.IsClear;
        foreach (var piece in root.Children)
            if (piece.Kind == NodeKind.Index) feed.Index ??= piece.AsIndex();
            else if (!isBroken) feed.Take(piece, scope, acts, bag);
        return feed;
    }

    private void Take(SyntaxNode piece, Scope scope, ActsReader acts, DraftBag bag)
    {
        switch (piece.Kind)
        {
            case NodeKind.Labels: labels = new LabelTexts(piece.Span); break;
            case NodeKind.Origin:
                Origin = piece.AsOrigin(scope);
                if (Origin is not PathExpression) Taps.Check(piece, bag);
                break;
            case NodeKind.Hops when piece.PathForms() is [var only]: hop = only.Read(piece.Reading, scope); break;
            case NodeKind.Hops: hops = [.. piece.Paths(scope)]; break;
            case NodeKind.Settings: Settings = SettingTable.Of(piece, NodeKind.Setting); break;
            case NodeKind.During: Acts = acts.Read(piece, File, bag); break;
        }
    }
}

/// <summary>A bundle: signals that are routed or mixed together.</summary>
public sealed class BundleSymbol : Symbol
{
    private BundleSymbol(PlanFile file, Statement statement, string name, TextSpan nameSpan)
        : base(file, statement, name, nameSpan)
    {
    }

    /// <summary>Its label in the sheets.</summary>
    public string? Label { get; private init; }

    internal ImmutableArray<PickExpression> Members { get; private init; } = [];

    internal static BundleSymbol? Read(PlanFile file, Statement statement, ActsReader acts, DraftBag bag)
    {
        using var reading = statement.ReadAsMeant();
        var root = reading.Root;
        if (root.Child(NodeKind.Name) is not { IsName: true } name) return null;
        var members = ImmutableArray.CreateBuilder<PickExpression>();
        if (statement.IsClear)
            foreach (var member in root.ChildrenOf(NodeKind.Pick))
                if (member.AsPick() is { } pick) members.Add(pick);
        return new BundleSymbol(file, statement, name.Name(), name.Span)
        {
            Label = root.OwnQuoted(),
            Members = members.DrainToImmutable(),
            Acts = root.Child(NodeKind.During) is { Exists: true } during ? acts.Read(during, file, bag) : acts.All,
        };
    }
}
