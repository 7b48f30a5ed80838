using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>
/// Where a feed starts, or a member of a mix: a point, feed or bundle with its tap and, in a sum, its exceptions,
/// sides and gain; or a sum or choice of those. Immutable.
/// </summary>
/// <example><c>lead.Before("fader").Gain(-6.dB)</c>, <c>PlanOrigin.Sum(lead, choir.Except(own))</c>, <c>PlanOrigin.Either(song, spare_song)</c>.</example>
public sealed record PlanOrigin
{
    private readonly string pick;
    private readonly Form form;

    private PlanOrigin(string pick, Form form)
    {
        this.pick = pick;
        this.form = form;
    }

    private enum Form
    {
        Path,
        PickedUp,
        Either,
        Sum,
    }

    private string? Tap { get; init; }

    private string? Left { get; init; }

    private string? Sides { get; init; }

    private string? OwnGain { get; init; }

    /// <summary>A point, feed or bundle without further details.</summary>
    public static implicit operator PlanOrigin(PlanPath path) => new((path ?? throw new PlanWritingException("an origin is missing")).ToString(), Form.Path);

    /// <summary>A sum (mix) of several.</summary>
    public static PlanOrigin Sum(params ReadOnlySpan<PlanOrigin> members) => new($"sum({Joined(members, m => m.AsMember())})", Form.Sum);

    /// <summary>A choice of several, of which one sounds at a time.</summary>
    public static PlanOrigin Either(params ReadOnlySpan<PlanOrigin> choices) => new($"either({Joined(choices, c => c.AsChoice())})", Form.Either);

    /// <summary>Picked up at a point on its way: <c>lead at rack.net</c>.</summary>
    public PlanOrigin At(PlanPath place)
    {
        if (form != Form.Path || Tap is not null) throw new PlanWritingException($"`{this}` can't be picked up on its way: only a feed or bundle by itself can");
        return new($"{pick} at {place}", Form.PickedUp);
    }

    /// <summary>Tapped before something in its strip: <c>all</c>, <c>fader</c>.</summary>
    public PlanOrigin Before(string what) => Tapped($"before {Spelt.Name(what)}");

    /// <summary>Tapped after something in its strip: <c>fader</c>.</summary>
    public PlanOrigin After(string what) => Tapped($"after {Spelt.Name(what)}");

    /// <summary>In a sum, without some of its elements.</summary>
    public PlanOrigin Except(PlanOrigin left)
    {
        ArgumentNullException.ThrowIfNull(left);
        if (form is Form.Either or Form.Sum) throw new PlanWritingException($"nothing can be left out of `{this}`");
        return this with { Left = $"except {left.AsPick()}" };
    }

    /// <summary>In a sum, sent to these sides.</summary>
    public PlanOrigin Onto(params ReadOnlySpan<string> sides) => this with { Sides = $"to {Which.Index(Which.AllNamed(sides))}" };

    /// <summary>In a sum, sent to these mixes.</summary>
    public PlanOrigin Onto(params ReadOnlySpan<Which> mixes) => this with { Sides = $"to {Which.Index(mixes)}" };

    /// <summary>In a sum, with a gain.</summary>
    /// <param name="gain">In dB.</param>
    public PlanOrigin Gain(Amount gain) => this with { OwnGain = gain.As(Measure.Gain, "a gain") };

    /// <summary>The origin as written in a plan.</summary>
    public override string ToString() => AsMember();

    /// <summary>As written as the origin of a feed.</summary>
    internal string AsOrigin() => Alone("a feed starts from one thing");

    /// <summary>As written where only a feed, bundle or point is allowed, possibly picked up on its way.</summary>
    internal string AsPick()
    {
        if (form is Form.Either or Form.Sum || Tap is not null) throw new PlanWritingException($"`{this}` can't stand here: a feed, a bundle or a point can");
        return Alone("here stands one thing");
    }

    private string AsChoice()
    {
        if (form is Form.Either or Form.Sum) throw new PlanWritingException($"`{this}` can't stand in `either`");
        return Alone("`either` has one thing at a time");
    }

    private string AsMember() => form == Form.Sum && (Sides ?? OwnGain) is not null
        ? throw new PlanWritingException($"`{pick}` is a mix of its own: sides and gains stand at its members")
        : Written(pick, Left, Tap, Sides, OwnGain);

    private string Alone(string what) =>
        (Left ?? Sides ?? OwnGain) is { } more ? throw new PlanWritingException($"`{more}` stands in a sum; {what}: `{Written(pick, Tap)}`") : Written(pick, Tap);

    private PlanOrigin Tapped(string tap) =>
        form is Form.Either or Form.Sum ? throw new PlanWritingException($"`{tap}` stands at the members of `{pick}`") : this with { Tap = tap };

    private static string Written(params ReadOnlySpan<string?> pieces)
    {
        var written = "";
        foreach (var piece in pieces)
            if (piece is not null) written = written.Length == 0 ? piece : $"{written} {piece}";
        return written;
    }

    private static string Joined(ReadOnlySpan<PlanOrigin> members, Func<PlanOrigin, string> write)
    {
        if (members.IsEmpty) throw new PlanWritingException("a mix of nothing can't be written");
        var written = new string[members.Length];
        for (var i = 0; i < members.Length; i++)
        {
            if (members[i].form == Form.Sum) throw new PlanWritingException($"`{members[i].pick}` can't stand in another mix; give it a feed of its own");
            written[i] = write(members[i]);
        }
        return string.Join(", ", written);
    }
}
