namespace PatchLang.Syntax;

/// <summary>The keywords of the language.</summary>
internal static class Words
{
    /// <summary>The token kind of a run of name characters.</summary>
    public static TokenKind KindOf(ReadOnlySpan<char> word) => word switch
    {
        "rig" => TokenKind.Rig,
        "rate" => TokenKind.Rate,
        "use" => TokenKind.Use,
        "act" => TokenKind.Act,
        "format" => TokenKind.Format,
        "gear" => TokenKind.Gear,
        "card" => TokenKind.Card,
        "unit" => TokenKind.Unit,
        "network" => TokenKind.Network,
        "loom" => TokenKind.Loom,
        "cable" => TokenKind.Cable,
        "timekeeper" => TokenKind.Timekeeper,
        "follow" => TokenKind.Follow,
        "reserve" => TokenKind.Reserve,
        "feed" => TokenKind.Feed,
        "bundle" => TokenKind.Bundle,
        "insert" => TokenKind.Insert,
        "expect" => TokenKind.Expect,
        "allow" => TokenKind.Allow,
        "sum" => TokenKind.Sum,
        "either" => TokenKind.Either,
        "any" => TokenKind.Any,
        "during" => TokenKind.During,
        "after" => TokenKind.After,
        "as" => TokenKind.As,
        "at" => TokenKind.At,
        "before" => TokenKind.Before,
        "bus" => TokenKind.Bus,
        "by" => TokenKind.By,
        "channels" => TokenKind.Channels,
        "clock" => TokenKind.Clock,
        "edition" => TokenKind.Edition,
        "except" => TokenKind.Except,
        "fixed" => TokenKind.Fixed,
        "for" => TokenKind.For,
        "free" => TokenKind.Free,
        "from" => TokenKind.From,
        "group" => TokenKind.Group,
        "headroom" => TokenKind.Headroom,
        "hears" => TokenKind.Hears,
        "in" => TokenKind.In,
        "join" => TokenKind.Join,
        "joins" => TokenKind.Joins,
        "latency" => TokenKind.Latency,
        "limit" => TokenKind.Limit,
        "link" => TokenKind.Link,
        "medium" => TokenKind.Medium,
        "most" => TokenKind.Most,
        "never" => TokenKind.Never,
        "out" => TokenKind.Out,
        "port" => TokenKind.Port,
        "route" => TokenKind.Route,
        "slot" => TokenKind.Slot,
        "spare" => TokenKind.Spare,
        "standby" => TokenKind.Standby,
        "strip" => TokenKind.Strip,
        "through" => TokenKind.Through,
        "time" => TokenKind.Time,
        "to" => TokenKind.To,
        "twin" => TokenKind.Twin,
        "up" => TokenKind.Up,
        "way" => TokenKind.Way,
        "ways" => TokenKind.Ways,
        "Hz" or "kHz" or "MHz" or "s" or "ms" or "us" or "\u00B5s" or "\u03BCs" or "ns"
            or "dB" or "dBu" or "dBV" or "dBFS" or "V" or "mV" or "A" or "mA" or "W" or "mW"
            or "ppm" or "m" or "km" or "ft" or "ohm" => TokenKind.Symbol,
        ['P', 'L', >= '0' and <= '9', >= '0' and <= '9', >= '0' and <= '9', >= '0' and <= '9'] => TokenKind.Code,
        _ => TokenKind.Name,
    };

    /// <summary>Words that open a statement, and occur nowhere else.</summary>
    public static bool IsOpener(this TokenKind kind) => kind is >= TokenKind.Rig and <= TokenKind.Allow;

    /// <summary>Reserved words, which cannot be names.</summary>
    public static bool IsReserved(this TokenKind kind) => kind is >= TokenKind.Rig and <= TokenKind.During;

    /// <summary>Contextual keywords: keywords in some places, names elsewhere.</summary>
    public static bool IsContextual(this TokenKind kind) => kind is >= TokenKind.After and <= TokenKind.Ways;

    /// <summary>Whether a name can consist of such a token.</summary>
    public static bool CanBeName(this TokenKind kind) => kind is TokenKind.Name or TokenKind.Symbol or TokenKind.Code || kind.IsContextual();
}
