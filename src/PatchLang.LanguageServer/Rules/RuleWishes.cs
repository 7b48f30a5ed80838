using System.Text.Json;

namespace PatchLang.LanguageServer.Rules;

/// <summary>Whether house rules may run: only if the client trusts the folder and the user has enabled them, since rules are code.</summary>
/// <param name="IsTrusted">Whether the client trusts its folders.</param>
/// <param name="IsOn">Whether the user has enabled rules.</param>
internal readonly record struct RuleWishes(bool IsTrusted, bool IsOn)
{
    /// <summary>Whether rules may run.</summary>
    public bool Run => IsTrusted && IsOn;

    /// <summary>
    /// Reads <c>rules: { trusted, enabled }</c> from the client's initialization options or configuration. Missing values stay unchanged.
    /// </summary>
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
