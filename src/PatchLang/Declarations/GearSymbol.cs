using System.Collections.Immutable;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>The sorts of sockets.</summary>
public enum SocketSort
{
    /// <summary>An input.</summary>
    In,

    /// <summary>An output.</summary>
    Out,

    /// <summary>A port: both directions on one connector.</summary>
    Port,

    /// <summary>Internal: a channel strip, which takes one source and has a fader.</summary>
    Strip,

    /// <summary>Internal: a bus, which takes any number of sources.</summary>
    Bus,
}

/// <summary>How a route is switched.</summary>
public enum RouteSort
{
    /// <summary>One to one, always on.</summary>
    Fixed,

    /// <summary>Any to any, set by the user.</summary>
    Free,

    /// <summary>One of several sources at a time.</summary>
    Either,
}

/// <summary>The point in a strip at which a signal is taken.</summary>
public enum Tap
{
    /// <summary>Not stated.</summary>
    Unstated,

    /// <summary>Before everything, including inserts.</summary>
    BeforeAll,

    /// <summary>After the insert and before the fader.</summary>
    BeforeFader,

    /// <summary>After the fader.</summary>
    AfterFader,
}

/// <summary>A count in gear: a number, or the name of one of the gear's parameters; neither if the number is not whole, or far too large.</summary>
public readonly record struct CountExpression(int? Number, string? Parameter, TextSpan Span);

/// <summary>A parameter of gear, which is a count, and its default.</summary>
public sealed record GearParameter(string Name, int? Default, TextSpan Span)
{
    /// <summary>What is wrong with the value, if something is.</summary>
    internal Draft? Wrong { get; init; }
}

internal sealed record SocketDeclaration(SocketSort Sort, string Name, TextSpan NameSpan, CountExpression? Count)
{
    public string? Format { get; init; }

    public TextSpan FormatSpan { get; init; }

    public double? Rate { get; init; }

    public TextSpan RateSpan { get; init; }

    public string? Title { get; init; }

    public CountExpression? In { get; init; }

    public CountExpression? Out { get; init; }

    public CountExpression? By { get; init; }

    public string? Twin { get; init; }

    /// <summary>In bits per second.</summary>
    public double? Link { get; init; }

    public TextSpan LinkSpan { get; init; }

    public Tap Tap { get; init; }

    /// <summary>The finding about its tap, if that is wrong.</summary>
    public Draft? WrongTap { get; init; }

    public SettingTable Settings { get; init; } = SettingTable.Empty;
}

internal sealed record SlotDeclaration(string Name, TextSpan NameSpan, string Takes, string? Title);

/// <summary>An end of a route: any, or a socket, strip, bus or slot, possibly only some of its channels.</summary>
internal sealed record RoutePlace(string? Name, TextSpan Span, ImmutableArray<(CountExpression First, CountExpression Last)> Channels)
{
    public bool IsAny => Name is null;
}

internal sealed record RouteDeclaration(
    ImmutableArray<RoutePlace> From, ImmutableArray<RoutePlace> To, RouteSort Sort, CountExpression? By, TextSpan Span);

internal sealed record ClockDeclaration(string Name, TextSpan NameSpan, SettingTable Settings, ImmutableArray<ClockSourceDeclaration> From);

internal sealed record ClockSourceDeclaration(string Name, int? Channel, TextSpan Span);

internal sealed record LimitDeclaration(CountExpression Count, bool IsIn, ImmutableArray<(string Name, TextSpan Span)> Through, TextSpan Span);

/// <summary>The latency of a route, in seconds.</summary>
internal sealed record LatencyDeclaration(RoutePlace From, RoutePlace To, double Low, double High, TextSpan Span);

/// <summary>A kind of equipment, or of card, as a <c>gear</c> or <c>card</c> statement declares it.</summary>
public sealed class GearSymbol : Symbol
{
    private GearHead? head;
    private GearBody? body;

    private GearSymbol(PlanFile file, Statement statement, string name, TextSpan nameSpan)
        : base(file, statement, name, nameSpan) => Acts = new ActSet(ulong.MaxValue);

    /// <summary>Whether it is a card, which sits in a slot of other gear.</summary>
    public bool IsCard => Statement.Kind == NodeKind.Card;

    /// <summary>For a card, the kind of slot it fits.</summary>
    public string? ForSlot => Head.ForSlot;

    /// <summary>A short description, if written.</summary>
    public string? Title => Head.Title;

    /// <summary>Its parameters.</summary>
    public ImmutableArray<GearParameter> Parameters => Head.Parameters;

    /// <summary>The key (see <see cref="Draft.Causes"/>) for a part that it lacks.</summary>
    internal string Lacks(string part) => $"{Name} lacks {part}";

    private GearHead Head => head ??= GearHead.Read(Statement);

    /// <summary>The contents of its braces; read on first use.</summary>
    internal GearBody Body => body ??= GearBody.Read(Statement);

    /// <summary>Reads the name of the declaration, and the rest on demand; null if it has no name.</summary>
    internal static GearSymbol? Read(PlanFile file, Statement statement)
    {
        if (file.IsLibrary && NameAlone(statement) is { } span) return new GearSymbol(file, statement, NormalForm.Compose(statement.Text.Span.Slice(span.Start, span.Length)), span);
        using var reading = statement.ReadAsMeant();
        var name = reading.Root.Child(NodeKind.Name);
        return name.IsName ? new GearSymbol(file, statement, name.Name(), name.Span) : null;
    }

    // The library declares very many kinds of gear, of which a plan uses few: only their names are read up front.
    private static TextSpan? NameAlone(Statement statement)
    {
        var text = statement.Text.Span;
        var at = 0;
        return Scanner.Next(text, ref at, out _, out _) && Scanner.Next(text, ref at, out var kind, out var start) && kind == TokenKind.Name
            ? TextSpan.FromTo(start, at)
            : null;
    }

    /// <summary>What comes before its braces.</summary>
    private sealed record GearHead(string? ForSlot, string? Title, ImmutableArray<GearParameter> Parameters)
    {
        public static GearHead Read(Statement statement)
        {
            using var reading = statement.ReadAsMeant();
            var isFirst = true;
            string? slot = null;
            foreach (var child in reading.Root.ChildrenOf(NodeKind.Name))
            {
                if (!isFirst && child.HasText) slot = child.Name();
                isFirst = false;
            }
            var parameters = ImmutableArray.CreateBuilder<GearParameter>();
            foreach (var parameter in reading.Root.Child(NodeKind.Parameters).ChildrenOf(NodeKind.Parameter))
            {
                var number = parameter.TokenOf(TokenKind.Number);
                if (parameter.Child(NodeKind.Name) is not { IsName: true } name) continue;
                var bag = new DraftBag();
                int? count = number < 0 ? null : reading.CountOf(number, name.Name(), bag);
                parameters.Add(new GearParameter(name.Name(), count, parameter.Span) { Wrong = bag.Drafts is [var wrong, ..] ? wrong : null });
            }
            return new GearHead(slot, reading.Root.OwnQuoted(), parameters.DrainToImmutable());
        }
    }
}
