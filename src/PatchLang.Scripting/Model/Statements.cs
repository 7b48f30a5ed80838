using PatchLang.Checks;

namespace PatchLang.Scripting.Model;

/// <summary>Channels that the plan keeps free.</summary>
public sealed class Reservation : IPlaced
{
    private readonly Rig rig;
    private readonly Graph.Reservation made;

    internal Reservation(Rig rig, Graph.Reservation made) => (this.rig, this.made) = (rig, made);

    internal IEnumerable<int> Nodes => made.Nodes;

    /// <summary>The reason it gives.</summary>
    public string Why => made.Why;

    /// <summary>When.</summary>
    public During During => new(rig, made.Acts);

    /// <summary>The channels.</summary>
    public IEnumerable<Channel> Channels => made.Nodes.Select(rig.ChannelOf);

    /// <summary>The reason it gives.</summary>
    public string Name => Why;

    /// <summary>Where the plan says so.</summary>
    public Place Place => new(made.Place);

    /// <inheritdoc/>
    public override string ToString() => Why;
}

/// <summary>Whether a promise is kept.</summary>
public enum PromiseState
{
    /// <summary>It holds in every act that it is about.</summary>
    Held,

    /// <summary>It does not hold.</summary>
    Broken,

    /// <summary>Something unknown decides it.</summary>
    Undecided,
}

/// <summary>One <c>expect</c> of the plan, and what came of it.</summary>
public sealed class Promise : IPlaced
{
    private readonly Rig rig;
    private readonly Expectation made;

    internal Promise(Rig rig, Expectation made) => (this.rig, this.made) = (rig, made);

    /// <summary>The promise as the plan writes it, on one line.</summary>
    public string Name => made.Text;

    /// <summary>Whether it is kept.</summary>
    public PromiseState State => made.State switch
    {
        ExpectationState.Held => PromiseState.Held,
        ExpectationState.Broken => PromiseState.Broken,
        _ => PromiseState.Undecided,
    };

    /// <summary>The figure that came out, with its unit: <c>4.2 ms</c>; null where there is none.</summary>
    public string? Figure => made.FigureText;

    /// <summary>When it is to hold.</summary>
    public During During => new(rig, made.Acts);

    /// <summary>Where it stands.</summary>
    public Place Place => new(made.Place);

    /// <inheritdoc/>
    public override string ToString() => Name;
}

/// <summary>One thing that the compiler found.</summary>
public sealed class Finding : IPlaced
{
    private readonly Findings.Finding made;

    internal Finding(Findings.Finding made) => this.made = made;

    /// <summary>Its code, such as <c>PL0301</c>.</summary>
    public string Code => made.Code;

    /// <summary>How much it matters.</summary>
    public Severity Severity => (Severity)made.Severity;

    /// <summary>What kind of thing was found, in a few words.</summary>
    public string Name => made.Kind.Title;

    /// <summary>One sentence that states the fact with its numbers and units.</summary>
    public string Message => made.Message;

    /// <summary>Where it is.</summary>
    public Place Place => new(made.Place);

    /// <summary>What would mend it, as orders; the likeliest first.</summary>
    public IEnumerable<string> Fixes => made.Fixes.Select(f => f.Title);

    /// <inheritdoc/>
    public override string ToString() => $"{Code}: {Message}";
}
