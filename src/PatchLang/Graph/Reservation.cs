using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;

namespace PatchLang.Graph;

/// <summary>Channels that a plan keeps spare.</summary>
/// <param name="Why">The reason given in the plan.</param>
/// <param name="Acts">The acts in which they are kept spare.</param>
/// <param name="Nodes">The channels, as nodes of the signal graph.</param>
/// <param name="Place">Where the plan declares it.</param>
public sealed record Reservation(string Why, ActSet Acts, ImmutableArray<int> Nodes, Place Place);
