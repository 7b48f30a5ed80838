using PatchLang.Checks;

namespace PatchLang.Scripting.Model;

/// <summary>A reservation of channels, which are kept spare.</summary>
public sealed class Reservation : IPlaced
{
    private readonly Rig rig;
    private readonly Graph.Reservation made;

    internal Reservation(Rig rig, Graph.Reservation made) => (this.rig, this.made) = (rig, made);

    internal IEnumerable<int> Nodes => made.Nodes;

    /// <summary>The reason given in the plan.</summary>
    public string Why => made.Why;

    /// <summary>The acts in which they are reserved.</summary>
    public During During => new(rig, made.Acts);

    /// <summary>The reserved channels.</summary>
    public IEnumerable<Channel> Channels => made.Nodes.Select(rig.ChannelOf);

    /// <summary>The reason given in the plan.</summary>
    public string Name => Why;

    /// <summary>Where it is declared.</summary>
    public Place Place => new(made.Place);

    /// <inheritdoc/>
    public override string ToString() => Why;
}

/// <summary>The result of an expectation.</summary>
public enum PromiseState
{
    /// <summary>It holds in every act it applies to.</summary>
    Held,

    /// <summary>It does not hold.</summary>
    Broken,

    /// <summary>It depends on something unknown.</summary>
    Undecided,
}

/// <summary>An <c>expect</c> of the plan, with its result.</summary>
public sealed class Promise : IPlaced
{
    private readonly Rig rig;
    private readonly Expectation made;

    internal Promise(Rig rig, Expectation made) => (this.rig, this.made) = (rig, made);

    /// <summary>The expectation as the plan writes it, on one line.</summary>
    public string Name => made.Text;

    /// <summary>Whether it holds.</summary>
    public PromiseState State => made.State switch
    {
        ExpectationState.Held => PromiseState.Held,
        ExpectationState.Broken => PromiseState.Broken,
        _ => PromiseState.Undecided,
    };

    /// <summary>The computed figure, with its unit: <c>4.2 ms</c>; null if there is none.</summary>
    public string? Figure => made.FigureText;

    /// <summary>The acts it applies to.</summary>
    public During During => new(rig, made.Acts);

    /// <summary>Where it is in the plan.</summary>
    public Place Place => new(made.Place);

    /// <inheritdoc/>
    public override string ToString() => Name;
}

/// <summary>A finding of the compiler.</summary>
public sealed class Finding : IPlaced
{
    private readonly Findings.Finding made;

    internal Finding(Findings.Finding made) => this.made = made;

    /// <summary>Its code, such as <c>PL0301</c>.</summary>
    public string Code => made.Code;

    /// <summary>Its severity.</summary>
    public Severity Severity => (Severity)made.Severity;

    /// <summary>The kind of finding, in a few words.</summary>
    public string Name => made.Kind.Title;

    /// <summary>One sentence that states the fact with its figures and units.</summary>
    public string Message => made.Message;

    /// <summary>Where it is.</summary>
    public Place Place => new(made.Place);

    /// <summary>The titles of its fixes, in the imperative; the likeliest first.</summary>
    public IEnumerable<string> Fixes => made.Fixes.Select(f => f.Title);

    /// <inheritdoc/>
    public override string ToString() => $"{Code}: {Message}";
}
