namespace PatchLang.Scripting.Model;

/// <summary>One declared cable between two connectors.</summary>
public sealed class Cable : IPlaced
{
    private readonly Rig rig;
    private readonly Graph.Cable made;

    internal Cable(Rig rig, Graph.Cable made) => (this.rig, this.made) = (rig, made);

    /// <summary>The port it leaves.</summary>
    public Port From => rig.UnitOf(made.From.Device).PortOf(made.From.Socket);

    /// <summary>The port it arrives at.</summary>
    public Port To => rig.UnitOf(made.To.Device).PortOf(made.To.Socket);

    /// <summary>The channels at its start, outgoing.</summary>
    public IEnumerable<Channel> FromChannels => From.Outputs.Where(c => c.Point.Connector == made.From);

    /// <summary>The channels at its end, incoming.</summary>
    public IEnumerable<Channel> ToChannels => To.Inputs.Where(c => c.Point.Connector == made.To);

    /// <summary>The cable as a plan writes it: <c>split.direct[1] -> rack.mic[1]</c>.</summary>
    public string Name => $"{made.From} -> {made.To}";

    /// <summary>Its label; null if it has none.</summary>
    public string? Label => made.Label;

    /// <summary>The name of the format at its ends.</summary>
    public string Format => made.Format.Name;

    /// <summary>Its medium: <c>twisted_pair</c>, <c>fibre</c>; null if not stated.</summary>
    public string? Medium => made.Medium;

    /// <summary>Its length; null if not stated.</summary>
    public Metres? Length => made.Length is { } metres ? new Metres(metres) : null;

    /// <summary>The name of the loom (multicore) that it is a way of; null if it is none.</summary>
    public string? Loom => made.Loom?.Name;

    /// <summary>Its way in the loom, from 1; null if it is in none.</summary>
    public int? Way => made.Loom is null ? null : made.Way;

    /// <summary>The acts in which it is plugged in.</summary>
    public During During => new(rig, made.Acts);

    /// <summary>The signals that use it.</summary>
    public IEnumerable<Signal> Carries => FromChannels.SelectMany(c => c.Carries).Where(s => s.Hops.Any(h => h.Cable == this)).Distinct();

    /// <summary>Where it is declared.</summary>
    public Place Place => new(rig.Plan.PlaceOf(made));

    /// <inheritdoc/>
    public override string ToString() => Name;
}
