using System.Text.Json;

namespace PatchLang.LanguageServer.Rules;

/// <summary>Whether house rules are run: only where the client says that the folder is trusted, and the user has turned them on. Rules are code.</summary>
/// <param name="IsTrusted">Whether the client trusts what is in its folders.</param>
/// <param name="IsOn">Whether the user has turned rules on.</param>
internal readonly record struct RuleWishes(bool IsTrusted, bool IsOn)
{
    /// <summary>Whether both hold.</summary>
    public bool Run => IsTrusted && IsOn;

    /// <summary>Reads <c>rules: { trusted, enabled }</c> from what a client sends with its first message, or as its configuration. What is not there stays as it was.</summary>
    public RuleWishes With(JsonElement? options)
    {
        if (options is not { ValueKind: JsonValueKind.Object } all) return this;
        if (all.TryGetProperty("patchlang", out var own) && own.ValueKind == JsonValueKind.Object) all = own;
        if (!all.TryGetProperty("rules", out var rules) || rules.ValueKind != JsonValueKind.Object) return this;
        return new RuleWishes(Of(rules, "trusted") ?? IsTrusted, Of(rules, "enabled") ?? IsOn);
    }

    private static bool? Of(JsonElement rules, string name) =>
        rules.TryGetProperty(name, out var value) && value.ValueKind is JsonValueKind.True or JsonValueKind.False ? value.ValueKind == JsonValueKind.True : null;
}
