using PatchLang.Text;

namespace PatchLang.Syntax;

/// <summary>A quantity that the grammar expects somewhere.</summary>
/// <param name="Name">What a message calls it: "a rate".</param>
/// <param name="Measure">What it measures.</param>
/// <param name="Unit">The unit it is most often written in.</param>
/// <param name="Example">An example of how to write it.</param>
internal sealed record WantedQuantity(string Name, Measure Measure, string Unit, string Example);

/// <summary>Describes in the plan's terms what the grammar expected at a syntax error.</summary>
internal static class Expectations
{
    private const int MostNamed = 3;

    private static readonly WantedQuantity Rate = new("a rate", Measure.Frequency, "kHz", "48 kHz");
    private static readonly WantedQuantity Latency = new("a latency", Measure.Time, "ms", "5 ms");
    private static readonly WantedQuantity Speed = new("a link speed", Measure.DataRate, "Gbit/s", "1 Gbit/s");
    private static readonly WantedQuantity Length = new("a length", Measure.Length, "m", "15 m");
    private static readonly WantedQuantity Gain = new("a gain", Measure.Gain, "dB", "-6 dB");
    private static readonly WantedQuantity Headroom = new("headroom", Measure.Gain, "dB", "6 dB");

    /// <summary>What was being parsed at the error: "a feed", "`route`", "a sum".</summary>
    public static string SubjectOf(Shape shape, ShapeError error)
    {
        if (error.Rule == NodeKind.Plan) return StatementName(shape.Kind);
        // A piece without any token yet is what is missing, not what was being parsed.
        for (var node = error.Node; node > 0; node = shape.ParentOf(node))
            if (shape.Nodes[node].FirstToken < error.Token && PieceName(shape, node) is { } name) return name;
        return StatementName(shape.Kind);
    }

    /// <summary>What could stand at the error, the likeliest first, in at most a few phrases.</summary>
    public static List<string> Of(Shape shape, ShapeError error)
    {
        var phrases = new List<string>();
        var expected = error.Expected;
        var hasName = expected.Contains(TokenKind.Name);
        var isBody = hasName && expected.Contains(TokenKind.CloseBrace);
        if (error.Rule == NodeKind.Expect && expected.Contains(TokenKind.Hears))
            return ["`latency`", "`headroom`", "`hears`", "`never hears`", "`spare`"];

        foreach (var kind in (ReadOnlySpan<TokenKind>)[TokenKind.CloseBracket, TokenKind.CloseParen, TokenKind.Colon, TokenKind.Arrow])
            if (expected.Contains(kind)) phrases.Add(kind switch
            {
                TokenKind.Colon => Colon(shape, error),
                TokenKind.Arrow when error.Rule is NodeKind.Cable or NodeKind.Route or NodeKind.Delay => "`->` and its other end",
                _ => Spelling.Quoted(kind),
            });
        if (expected.Contains(TokenKind.LessEqual)) phrases.Add("a comparison such as `<=`");
        if (!hasName)
            foreach (var kind in expected)
                if (IsWordToSay(kind)) phrases.Add(kind == TokenKind.For ? "`for` and the kind of slot that it fits" : Spelling.Quoted(kind));
        if (expected.Contains(TokenKind.OpenBrace) && !isBody) phrases.Add(NeedsBraces(error.Rule) ? "`{` and its lines" : "`{`");
        if (isBody) phrases.Add(BodyLine(error.Rule));
        if (isBody) phrases.Add(Spelling.Quoted(TokenKind.CloseBrace));
        else if (hasName) phrases.Add(Name(shape, error));
        if (expected.Contains(TokenKind.Equal)) phrases.Add(error.Rule == NodeKind.Parameters ? "`=` and a number" : "`=` and a value");
        if (expected.Contains(TokenKind.Number) && Number(shape, error) is { } number) phrases.Add(number);
        if (expected.Contains(TokenKind.Code) && !hasName) phrases.Add("the code of a finding such as `PL0907`");
        if (expected.Contains(TokenKind.String) && error.Rule != NodeKind.Value) phrases.Add(error.Rule == NodeKind.Group ? "an address in quotes" : Text(shape.Kind));
        foreach (var kind in (ReadOnlySpan<TokenKind>)[TokenKind.Comma, TokenKind.Dots, TokenKind.OpenParen, TokenKind.At, TokenKind.Except])
            if (expected.Contains(kind) && (kind.IsSign() || !hasName)) phrases.Add(Spelling.Quoted(kind));

        if (phrases.Count == 0 && expected.Contains(TokenKind.OpenBracket)) phrases.Add("names in brackets such as `[L, R]`");

        // At the end of the statement optional pieces are not what is missing.
        if (error.Token >= shape.Tokens.Length && phrases.Count > 1 && (expected.Contains(TokenKind.Colon) || NeedsBraces(error.Rule))) phrases.RemoveRange(1, phrases.Count - 1);
        // That the statement may end here is more useful than the rarer ways to continue it.
        if (expected.Contains(TokenKind.None)) phrases.Insert(Math.Min(phrases.Count, MostNamed - 1), "the next statement");
        if (phrases.Count > MostNamed) phrases.RemoveRange(MostNamed, phrases.Count - MostNamed);
        return phrases;
    }

    /// <summary>The quantity expected at the error; null if none is.</summary>
    public static WantedQuantity? QuantityAt(Shape shape, ShapeError error)
    {
        var isQuantity = false;
        for (var node = error.Node; node >= 0; node = shape.ParentOf(node))
        {
            var kind = shape.Nodes[node].Kind;
            isQuantity |= kind is NodeKind.Quantity or NodeKind.Span;
            if (!isQuantity && kind != NodeKind.Measure && kind != error.Rule) return null;
            switch (kind)
            {
                case NodeKind.Rate or NodeKind.Unit or NodeKind.Socket or NodeKind.Capacity when isQuantity: return Rate;
                case NodeKind.NetworkLatency or NodeKind.Delay or NodeKind.ExpectLatency when isQuantity: return Latency;
                case NodeKind.NetworkLink or NodeKind.Attribute when isQuantity: return Speed;
                case NodeKind.Loom or NodeKind.Cable or NodeKind.Medium when isQuantity: return Length;
                case NodeKind.Member when isQuantity: return Gain;
                case NodeKind.ExpectHeadroom when isQuantity: return Headroom;
            }
        }
        return null;
    }

    /// <summary>What messages call a statement of a kind.</summary>
    public static string StatementName(NodeKind kind) => kind switch
    {
        NodeKind.Rig => "`rig`",
        NodeKind.Rate => "`rate`",
        NodeKind.Use => "`use`",
        NodeKind.Act => "an act",
        NodeKind.Allow => "`allow`",
        NodeKind.Format => "a format",
        NodeKind.Gear => "`gear`",
        NodeKind.Card => "a card",
        NodeKind.Unit => "a unit",
        NodeKind.Network => "a network",
        NodeKind.Loom => "a loom",
        NodeKind.Cable => "a cable",
        NodeKind.Timekeeper => "`timekeeper`",
        NodeKind.Follow => "`follow`",
        NodeKind.Reserve => "`reserve`",
        NodeKind.Feed => "a feed",
        NodeKind.Bundle => "a bundle",
        NodeKind.Insert => "an insert",
        NodeKind.Expect => "`expect`",
        _ => "a statement",
    };

    private static string? PieceName(Shape shape, int node) => shape.Nodes[node].Kind switch
    {
        NodeKind.Index => "an index",
        NodeKind.Arguments or NodeKind.Parameters => "the list of counts",
        NodeKind.Sum => "a sum",
        NodeKind.Either => "`either`",
        NodeKind.Setting or NodeKind.AttributeValue => "a setting",
        NodeKind.Settings or NodeKind.Attributes => "the list of settings",
        NodeKind.During => "`during`",
        NodeKind.Tap or NodeKind.Except or NodeKind.Fold => FirstWord(shape, node),
        NodeKind.Socket or NodeKind.Port or NodeKind.Strip or NodeKind.Bus or NodeKind.Slot or NodeKind.Route or NodeKind.Clock
            or NodeKind.Attribute or NodeKind.Limit or NodeKind.Delay or NodeKind.Sources or NodeKind.Joins or NodeKind.Way or NodeKind.Capacity or NodeKind.Time
            or NodeKind.Medium or NodeKind.Twin or NodeKind.Join or NodeKind.NetworkLatency or NodeKind.NetworkLink or NodeKind.Group
            or NodeKind.ExpectLatency or NodeKind.ExpectHeadroom or NodeKind.ExpectHears or NodeKind.ExpectSpare => FirstWord(shape, node),
        _ => null,
    };

    private static string? FirstWord(Shape shape, int node) =>
        shape.Nodes[node].FirstToken < shape.Tokens.Length && Spelling.Of(shape.Tokens[shape.Nodes[node].FirstToken]) is { Length: > 0 } word ? $"`{word}`" : null;

    private static bool IsWordToSay(TokenKind kind) =>
        kind is TokenKind.Either || (kind.IsContextual() && kind is not (TokenKind.Before or TokenKind.After or TokenKind.At or TokenKind.Except or TokenKind.To));

    private static bool NeedsBraces(NodeKind rule) => rule is NodeKind.Network or NodeKind.Format or NodeKind.GearBody or NodeKind.Clock;

    private static string Colon(Shape shape, ShapeError error) => "`:` and " + (InnermostLine(shape, error) switch
    {
        NodeKind.Feed => "what it starts from",
        NodeKind.Unit => "its gear",
        NodeKind.Network or NodeKind.Socket or NodeKind.Port => "its format",
        NodeKind.Loom => "how many ways it has",
        NodeKind.Bundle => "its members",
        NodeKind.Insert => "its way out and back",
        NodeKind.Slot => "its kind",
        _ => "what it is made of",
    });

    private static string BodyLine(NodeKind body) => body switch
    {
        NodeKind.GearBody => "a line such as `port net : aes67`",
        NodeKind.Format => "a line such as `channels 64 at 48 kHz`",
        NodeKind.Network => "a line such as `join desk.net`",
        NodeKind.Clock => "`from` and its sources",
        _ => "a setting",
    };

    private static string Text(NodeKind statement) => statement switch
    {
        NodeKind.Rig => "the title in quotes",
        NodeKind.Use => "a path in quotes",
        NodeKind.Reserve or NodeKind.Allow => "the reason in quotes",
        _ => "a label in quotes",
    };

    private static string? Number(Shape shape, ShapeError error)
    {
        if (QuantityAt(shape, error) is { } quantity) return $"{quantity.Name} such as {quantity.Example}";
        return error.Rule switch
        {
            NodeKind.Capacity or NodeKind.ExpectSpare or NodeKind.Arguments => "a number of channels",
            NodeKind.Loom => "a number of ways",
            NodeKind.Item or NodeKind.Count or NodeKind.Value => null, // named together with the name that may stand there
            NodeKind.Quantity or NodeKind.Cable or NodeKind.Member or NodeKind.Sum => null, // rarely what was meant
            _ => "a number",
        };
    }

    /// <summary>The line inside braces, or else the statement, that contains an error.</summary>
    private static NodeKind InnermostLine(Shape shape, ShapeError error)
    {
        if (error.Rule == NodeKind.Plan) return shape.Kind;
        for (var node = error.Node; node > 0; node = shape.ParentOf(node))
            if (shape.Nodes[node].Kind is NodeKind.Socket or NodeKind.Port or NodeKind.Slot) return shape.Nodes[node].Kind;
        return shape.Kind;
    }

    private static string Name(Shape shape, ShapeError error)
    {
        var before = error.Token > 0 ? shape.Tokens[error.Token - 1] : TokenKind.None;
        if (before == TokenKind.Dot) return "a name";
        if (before == TokenKind.At) return "a point on its way";
        var isOwn = before.IsOpener();
        for (var node = error.Node; node >= 0; node = shape.ParentOf(node))
            switch (shape.Nodes[node].Kind)
            {
                case NodeKind.Item: return "a number or a name";
                case NodeKind.Count: return "a number of channels";
                case NodeKind.Parameter: return "the name of a count";
                case NodeKind.Settings or NodeKind.Setting or NodeKind.Attributes: return "a setting";
                case NodeKind.Value: return "a value";
                case NodeKind.Origin: return "what it starts from";
                case NodeKind.Hops: return "the next point on its way";
                case NodeKind.Sum or NodeKind.Member or NodeKind.Either or NodeKind.Choice: return "a feed or a socket";
                case NodeKind.Except: return "what it leaves out";
                case NodeKind.Tap: return before == TokenKind.After ? "`fader`" : "`fader` or `all`";
                case NodeKind.During: return "an act";
                case NodeKind.Route: return "a socket, a strip or a bus";
                case NodeKind.Delay: return "a socket";
                case NodeKind.Limit: return before == TokenKind.Limit ? "a number of channels" : "a slot";
                case NodeKind.Sources: return "a source of time";
                case NodeKind.Joins: return "`point_to_point`, `switched` or `shared`";
                case NodeKind.Way: return "`one` or `both`";
                case NodeKind.Time: return "`embedded`, `shared` or `none`";
                case NodeKind.Medium: return "the name of a medium";
                case NodeKind.Socket or NodeKind.Port when before == TokenKind.Colon: return "the name of a format";
                case NodeKind.Slot when before == TokenKind.Colon: return "its kind";
                case NodeKind.Socket or NodeKind.Port or NodeKind.Strip or NodeKind.Bus or NodeKind.Slot or NodeKind.Clock: return "a name";
                case NodeKind.Twin: return "a network";
                case NodeKind.Join or NodeKind.Group: return "a port";
                case NodeKind.Use: return "a prefix";
                case NodeKind.Act when before == TokenKind.After: return "the act before it";
                case NodeKind.Unit when before == TokenKind.Colon: return "the name of its gear";
                case NodeKind.Network when before == TokenKind.Colon: return "the name of a format";
                case NodeKind.Card when before == TokenKind.For: return "the kind of slot that it fits";
                case NodeKind.Cable: return before == TokenKind.Colon ? "a medium or a length" : "a socket";
                case NodeKind.Timekeeper: return "a clock";
                case NodeKind.Follow: return before == TokenKind.From ? "a source of time" : "a clock";
                case NodeKind.Reserve: return "a socket";
                case NodeKind.Insert: return isOwn ? "a strip" : "a socket";
                case NodeKind.Bundle when !isOwn: return "a feed";
                case NodeKind.Expect or NodeKind.ExpectHears: return "a feed or a point";
                case NodeKind.ExpectLatency: return "a point";
                case NodeKind.Feed or NodeKind.Unit or NodeKind.Network or NodeKind.Loom or NodeKind.Act or NodeKind.Format or NodeKind.Gear
                    or NodeKind.Card or NodeKind.Bundle when isOwn: return "its name";
            }
        return "a name";
    }
}
